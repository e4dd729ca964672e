"""Every free text of a price list means harm, and every output of every command is harmless where it is read."""
