! invented
[Version] 2.0
# MHz S RI R 50
[Number of Ports] 2
[Two-Port Data Order] 12_21
[Number of Frequencies] 2
[Mixed-Mode Order] D1,2 C1,2
[Network Data]
50 .1 0 0 0 0 0 .1 0
52 .1 0 0 0 0 0 .1 0
[End]
