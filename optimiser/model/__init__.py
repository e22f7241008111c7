"""The CP-SAT model, a file a decision family. Families meet only through the context.

Each family has the same parts: `decide` makes its variables, `require` posts definitions and requirements,
`read` gives its share of the build. All `decide` run before any `require`, so their order cannot matter.
"""
