"""planlint reads a renovation plan and says what is wrong before it is buried."""
