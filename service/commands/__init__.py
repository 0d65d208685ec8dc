"""The console commands beside `serve` and `work`: each reads its arguments and prints.

Exit codes: 0 done; 1 it cannot be done as things are; 2 the command line cannot be read;
3 a database or a copy is damaged; 4 refused, for something would be written over; 5 made by a
newer version; 6 the copy was made but not tried; 7 lines or fields of a file are wrong.
"""

from service.commands.parsing import add_commands, run

__all__ = ["add_commands", "run"]
