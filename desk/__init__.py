"""Commands that need no window; one module each, with `add_to(subparsers)`."""
