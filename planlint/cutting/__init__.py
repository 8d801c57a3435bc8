"""Cut lists."""
