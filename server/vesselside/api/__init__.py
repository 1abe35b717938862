"""The HTTP API: one blueprint a resource, its schemas beside it, one mapping of errors to problem details."""
