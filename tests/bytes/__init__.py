"""The same outputs, byte for byte, wherever, whenever and by whomever they are made."""
