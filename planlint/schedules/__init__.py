"""Schedules: a plan to what its sums come to, as records; a module a subject."""
