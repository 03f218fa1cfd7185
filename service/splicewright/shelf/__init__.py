"""The connectors that somebody carries: entered from cartons, told, compared, and held against work to be done."""
