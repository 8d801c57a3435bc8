"""The JSON Schemas of the formats that planlint reads and writes; installed as planlint.schemas."""
