"""Pages and texts from templates: guide, rundown, pick list, quote, counter page; and the guide as PDF."""
