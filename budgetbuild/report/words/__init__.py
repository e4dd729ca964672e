"""What is said: sentences, and how figures, money and names are written in them."""
