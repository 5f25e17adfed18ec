"""The frame: the window, its menus and actions. It assembles and wires, no logic."""
