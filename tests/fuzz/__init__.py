"""Bad input in bulk: seeded mutants of sound files, and what every one of them must end in."""
