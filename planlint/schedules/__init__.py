"""A plan to what its sums come to, subject by subject, as records."""
