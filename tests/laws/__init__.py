"""Laws that hold between answers, and the two shortcuts to an answer, taken away one by one."""

EXAMPLES = "LAWS_EXAMPLES"
"""Name of the environment variable that asks for more examples of every law."""
