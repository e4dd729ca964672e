NAME        
ROWS
 N  Obj     
 E  r0      
 E  r1      
 E  r2      
 E  r3      
 E  r4      
 E  r5      
 E  r6      
 E  r7      
 E  r8      
 E  r9      
 E  r10     
 E  r11     
 L  r12     
 E  r13     
 E  r14     
 L  r15     
 E  r16     
 E  r17     
 E  r18     
 E  r19     
 L  r20     
 L  r21     
 E  r22     
 L  r23     
 L  r24     
 L  r25     
 L  r26     
 L  r27     
 L  r28     
 L  r29     
 L  r30     
 L  r31     
 G  r32     
 G  r33     
 L  r34     
 G  r35     
 L  r36     
 G  r37     
 G  r38     
 L  r39     
 L  r40     
 L  r41     
 G  r42     
 L  r43     
 L  r44     
 L  r45     
 L  r46     
 L  r47     
 L  r48     
 L  r49     
COLUMNS
    c0        Obj       1
    MARK0000  'MARKER'                 'INTORG'
    c1        r11       -1
    c1        r20       1
    c1        r21       1
    c1        r22       -1
    c1        r24       1
    c1        r44       31084
    c1        r45       31084
    c1        r46       31084
    c1        r47       -5005
    c1        r48       31084
    c2        r11       -1
    c2        r14       -1
    c2        r20       1
    c2        r21       2
    c2        r22       -2
    c2        r24       1
    c2        r26       1
    c2        r44       31084
    c2        r45       31084
    c2        r46       31084
    c2        r47       -5839
    c2        r48       31084
    c2        r49       1
    c3        r0        1
    c3        r12       -1
    c3        r15       -1
    c3        r21       -3
    c3        r44       31425
    c3        r45       32425
    c3        r46       31425
    c3        r47       -11285
    c3        r48       31425
    c3        r49       1
    c4        r19       -1
    c4        r20       1
    c4        r21       1
    c4        r22       -1
    c4        r28       1
    c4        r44       47193
    c4        r45       47193
    c4        r46       47193
    c4        r47       -2888
    c4        r48       47193
    c4        r49       1
    c5        r11       -1
    c5        r20       1
    c5        r21       1
    c5        r22       -1
    c5        r25       1
    c5        r30       1
    c5        r31       25000
    c5        r32       1
    c5        r44       28534
    c5        r45       28534
    c5        r46       28534
    c5        r47       -5005
    c5        r48       28534
    c6        r11       -1
    c6        r14       -1
    c6        r20       1
    c6        r21       2
    c6        r22       -2
    c6        r25       1
    c6        r27       1
    c6        r30       1
    c6        r31       25000
    c6        r32       1
    c6        r44       28534
    c6        r45       28534
    c6        r46       28534
    c6        r47       -5839
    c6        r48       28534
    c7        r0        1
    c7        r12       -1
    c7        r15       -1
    c7        r21       -3
    c7        r44       35416
    c7        r45       35416
    c7        r46       35416
    c7        r47       -11285
    c7        r48       35416
    c8        r19       -1
    c8        r20       1
    c8        r21       1
    c8        r22       -1
    c8        r29       1
    c8        r30       1
    c8        r31       49275.3623188406
    c8        r32       1
    c8        r44       44643
    c8        r45       44643
    c8        r46       44643
    c8        r47       -2888
    c8        r48       44643
    c9        r1        1
    c9        r4        -1
    c9        r44       18823
    c9        r45       18823
    c9        r46       18823
    c9        r47       -9456
    c9        r48       18823
    c10       r5        1
    c10       r10       1
    c10       r33       -1
    c10       r34       -1
    c10       r47       -3310
    c11       r5        1
    c11       r11       1
    c11       r33       -1
    c11       r34       -1
    c11       r47       -6410
    c12       r7        1
    c12       r13       1
    c12       r35       -1
    c12       r36       -1
    c12       r47       -662
    c13       r1        1
    c13       r5        -1
    c13       r44       12833
    c13       r45       12833
    c13       r46       12833
    c13       r47       -19893
    c13       r48       12833
    c13       r49       1
    c14       r7        1
    c14       r14       1
    c14       r35       -1
    c14       r36       -1
    c14       r47       -1282
    c15       r8        1
    c15       r19       1
    c15       r37       -1
    c15       r38       -1
    c15       r39       -1
    c15       r47       -5200
    c16       r9        1
    c16       r16       1
    c16       r38       -1
    c16       r39       -1
    c16       r47       -1444
    c17       r9        1
    c17       r17       1
    c17       r38       -1
    c17       r39       -1
    c17       r47       -3611
    c18       r9        1
    c18       r18       1
    c18       r38       -1
    c18       r39       -1
    c18       r47       -5200
    c19       r2        1
    c19       r6        -1
    c19       r44       35323
    c19       r45       35323
    c19       r46       35323
    c19       r47       -3123
    c19       r48       35323
    c20       r22       3
    c20       r23       1
    c20       r44       8190
    c20       r45       8190
    c20       r46       12285
    c20       r48       8190
    c21       r22       3
    c21       r23       1
    c21       r44       8190
    c21       r45       8190
    c21       r46       10920
    c21       r48       8190
    c22       r22       3
    c22       r23       1
    c22       r44       8190
    c22       r45       8190
    c22       r46       9555
    c22       r48       8190
    c23       r22       3
    c23       r23       1
    c23       r44       8190
    c23       r45       8190
    c23       r46       8190
    c23       r48       8190
    c23       r49       1
    c24       r33       1
    c24       r34       1
    c24       r40       1
    c24       r44       190
    c24       r45       190
    c24       r46       190
    c24       r48       190
    c25       r33       1
    c25       r34       1
    c25       r41       1
    c25       r44       899
    c25       r45       899
    c25       r46       899
    c25       r48       899
    c26       r35       1
    c26       r36       1
    c26       r40       1
    c26       r44       190
    c26       r45       190
    c26       r46       190
    c26       r48       190
    c27       r35       1
    c27       r36       1
    c27       r41       1
    c27       r44       899
    c27       r45       899
    c27       r46       899
    c27       r48       899
    c28       r37       1
    c28       r38       1
    c28       r39       1
    c28       r40       1
    c28       r44       190
    c28       r45       190
    c28       r46       190
    c28       r48       190
    c29       r37       1
    c29       r38       1
    c29       r39       1
    c29       r41       1
    c29       r44       899
    c29       r45       899
    c29       r46       899
    c29       r48       899
    c30       r2        1
    c30       r7        -1
    c30       r44       29333
    c30       r45       29333
    c30       r46       29333
    c30       r47       -6570
    c30       r48       29333
    c30       r49       1
    c31       r33       1
    c31       r34       1
    c31       r35       1
    c31       r36       1
    c31       r40       1
    c31       r44       190
    c31       r45       190
    c31       r46       190
    c31       r48       190
    c32       r33       1
    c32       r34       1
    c32       r35       1
    c32       r36       1
    c32       r41       1
    c32       r44       899
    c32       r45       899
    c32       r46       899
    c32       r48       899
    c33       r33       1
    c33       r34       1
    c33       r37       1
    c33       r38       1
    c33       r39       1
    c33       r40       1
    c33       r44       190
    c33       r45       190
    c33       r46       190
    c33       r48       190
    c34       r33       1
    c34       r34       1
    c34       r37       1
    c34       r38       1
    c34       r39       1
    c34       r41       1
    c34       r44       899
    c34       r45       899
    c34       r46       899
    c34       r48       899
    c35       r35       1
    c35       r36       1
    c35       r37       1
    c35       r38       1
    c35       r39       1
    c35       r40       1
    c35       r44       190
    c35       r45       190
    c35       r46       190
    c35       r48       190
    c36       r35       1
    c36       r36       1
    c36       r37       1
    c36       r38       1
    c36       r39       1
    c36       r41       1
    c36       r44       899
    c36       r45       899
    c36       r46       899
    c36       r48       899
    c37       r33       1
    c37       r34       1
    c37       r35       1
    c37       r36       1
    c37       r37       1
    c37       r38       1
    c37       r39       1
    c37       r40       1
    c37       r44       190
    c37       r45       190
    c37       r46       190
    c37       r48       190
    c37       r49       1
    c38       r33       1
    c38       r34       1
    c38       r35       1
    c38       r36       1
    c38       r37       1
    c38       r38       1
    c38       r39       1
    c38       r41       1
    c38       r44       899
    c38       r45       899
    c38       r46       899
    c38       r48       899
    c39       r42       1
    c39       r43       1
    c39       r44       5811
    c39       r45       5811
    c39       r46       5811
    c39       r47       -689
    c39       r48       5811
    c40       r42       1
    c40       r43       1
    c40       r44       7598
    c40       r45       7598
    c40       r46       7598
    c40       r47       -740
    c40       r48       7598
    c41       r3        1
    c41       r8        -1
    c41       r44       13717
    c41       r45       13717
    c41       r46       13717
    c41       r47       -15300
    c41       r48       13717
    c41       r49       1
    c42       r42       1
    c42       r43       1
    c42       r44       11622
    c42       r45       11622
    c42       r46       11622
    c42       r47       -1378
    c42       r48       11622
    c43       r42       1
    c43       r43       1
    c43       r44       15197
    c43       r45       15197
    c43       r46       15197
    c43       r47       -1480
    c43       r48       15197
    c44       r42       1
    c44       r43       1
    c44       r44       17433
    c44       r45       17433
    c44       r46       17433
    c44       r47       -2066
    c44       r48       17433
    c45       r42       1
    c45       r43       1
    c45       r44       22795
    c45       r45       22795
    c45       r46       22795
    c45       r47       -2220
    c45       r48       22795
    c45       r49       1
    c46       r42       1
    c46       r43       1
    c46       r44       23244
    c46       r45       23244
    c46       r46       23244
    c46       r47       -2755
    c46       r48       23244
    c47       r42       1
    c47       r43       1
    c47       r44       29055
    c47       r45       29055
    c47       r46       29055
    c47       r47       -3444
    c47       r48       29055
    c48       r42       1
    c48       r43       1
    c48       r44       34866
    c48       r45       34866
    c48       r46       34866
    c48       r47       -4133
    c48       r48       34866
    c49       r42       1
    c49       r43       1
    c49       r44       40677
    c49       r45       40677
    c49       r46       40677
    c49       r47       -4822
    c49       r48       40677
    MARK0001  'MARKER'                 'INTEND'
RHS
    RHS_V     r0        1
    RHS_V     r1        1
    RHS_V     r2        1
    RHS_V     r3        1
    RHS_V     r20       2
    RHS_V     r23       1
    RHS_V     r24       1
    RHS_V     r26       1
    RHS_V     r28       1
    RHS_V     r40       1
    RHS_V     r41       1
    RHS_V     r43       1
    RHS_V     r44       197783
    RHS_V     r45       197783
    RHS_V     r46       197783
    RHS_V     r47       -76886.5
    RHS_V     r48       196760.5
    RHS_V     r49       8
BOUNDS
 FX BOUND     c0        0
 BV BOUND     c1      
 BV BOUND     c2      
 BV BOUND     c3      
 BV BOUND     c4      
 BV BOUND     c5      
 BV BOUND     c6      
 BV BOUND     c7      
 BV BOUND     c8      
 BV BOUND     c9      
 BV BOUND     c10     
 BV BOUND     c11     
 BV BOUND     c12     
 BV BOUND     c13     
 BV BOUND     c14     
 BV BOUND     c15     
 BV BOUND     c16     
 BV BOUND     c17     
 BV BOUND     c18     
 BV BOUND     c19     
 BV BOUND     c20     
 BV BOUND     c21     
 BV BOUND     c22     
 BV BOUND     c23     
 BV BOUND     c24     
 BV BOUND     c25     
 BV BOUND     c26     
 BV BOUND     c27     
 BV BOUND     c28     
 BV BOUND     c29     
 BV BOUND     c30     
 BV BOUND     c31     
 BV BOUND     c32     
 BV BOUND     c33     
 BV BOUND     c34     
 BV BOUND     c35     
 BV BOUND     c36     
 BV BOUND     c37     
 BV BOUND     c38     
 BV BOUND     c39     
 BV BOUND     c40     
 BV BOUND     c41     
 BV BOUND     c42     
 BV BOUND     c43     
 BV BOUND     c44     
 BV BOUND     c45     
 BV BOUND     c46     
 BV BOUND     c47     
 BV BOUND     c48     
 BV BOUND     c49     
ENDATA
