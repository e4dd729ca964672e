"""The integer program: which parts make the best-scoring complete and compatible system within a cap.

Reads top down: `offer` (what a brief may use) -> the candidates of each slot (`sources`, `speakers`, `arrangements`,
`accessories`), already freed of dominated ones -> `candidates` -> `layout` and `constraints` (columns and rows)
-> `solve` (solver, reduced-cost fixing, ties) -> `system` (the chosen columns as a `System`).
It knows no spreadsheet and no page.
"""
