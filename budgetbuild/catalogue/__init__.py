"""The shop's price catalogue: its schema, its reader, its checks, and the frozen items that come out."""
