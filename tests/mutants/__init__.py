"""Whether the tests of the trade rules notice when a rule is wrong: run by hand, see DEVELOPERS.md."""
