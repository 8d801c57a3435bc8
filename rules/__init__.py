"""The rules that planlint brings, one module a family; installed as planlint.rules."""
