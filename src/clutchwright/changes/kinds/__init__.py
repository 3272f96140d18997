"""The kinds of change, one module each, found by themselves: a new kind is one new module that defines CHANGE."""
