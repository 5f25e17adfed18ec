! invented: series circuit 40 ohm, 51 MHz, Q 8
[Version] 2.0
# MHz S RI R 50
[Number of Ports] 1
[Number of Frequencies] 9
[Network Data]
50 -0.089504 -0.153432
50.25 -0.098913 -0.115777
50.5 -0.105684 -0.077466
50.75 -0.109756 -0.038780
51 -0.111111 0.000000
51.2