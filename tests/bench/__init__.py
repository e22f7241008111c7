"""How fast, how large, how surely: ``python -m tests.bench --help``. Each solve has a process of its own."""
