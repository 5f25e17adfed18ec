"""The window, its menus and actions: parts are assembled and connected here; no logic."""
