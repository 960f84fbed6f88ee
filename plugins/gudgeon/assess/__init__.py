"""From records, with the formulas of gudgeon_calc, to findings: numbers with uncertainty, state, cause and source row."""
