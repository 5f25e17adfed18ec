"""How far the figures of a sweep can be trusted: noise, outliers, the analyzer's own error."""
