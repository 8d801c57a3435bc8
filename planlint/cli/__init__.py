"""The commands: the only part of planlint that prints, exits or reads the environment."""
