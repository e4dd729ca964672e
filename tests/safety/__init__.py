"""What keeps people from harm, read in every output as a reader does."""
