NAME        
ROWS
 N  Obj     
 E  r0      
 E  r1      
 G  r2      
 L  r3      
 E  r4      
 E  r5      
 E  r6      
 E  r7      
 E  r8      
 E  r9      
 E  r10     
 E  r11     
 E  r12     
 E  r13     
 E  r14     
 E  r15     
 E  r16     
 L  r17     
 L  r18     
 E  r19     
 E  r20     
 E  r21     
 E  r22     
 E  r23     
 L  r24     
 L  r25     
 E  r26     
 E  r27     
 E  r28     
 E  r29     
 E  r30     
 E  r31     
 L  r32     
 L  r33     
 E  r34     
 L  r35     
 L  r36     
 L  r37     
 L  r38     
 L  r39     
 L  r40     
 L  r41     
 L  r42     
 L  r43     
 G  r44     
 G  r45     
 G  r46     
 L  r47     
 G  r48     
 L  r49     
 G  r50     
 L  r51     
 L  r52     
 L  r53     
 L  r54     
 G  r55     
 L  r56     
 G  r57     
 L  r58     
COLUMNS
    MARK0000  'MARKER'                 'INTORG'
    c0        Obj       -18540
    c0        r0        1
    c0        r17       -1
    c0        r24       -1
    c0        r58       23809
    MARK0001  'MARKER'                 'INTEND'
    c1        Obj       -2172
    c1        r7        1
    c1        r18       1
    c2        Obj       -4167
    c2        r8        1
    c2        r13       1
    c2        r46       -1
    c2        r47       -1
    c3        Obj       -5000
    c3        r8        1
    c3        r15       1
    c3        r46       -1
    c3        r47       -1
    c4        Obj       -5000
    c4        r8        1
    c4        r16       1
    c4        r46       -1
    c4        r47       -1
    c5        Obj       -515
    c5        r9        1
    c5        r19       1
    c5        r48       -1
    c5        r49       -1
    c6        Obj       -758
    c6        r9        1
    c6        r20       1
    c6        r48       -1
    c6        r49       -1
    c7        Obj       -1000
    c7        r9        1
    c7        r21       1
    c7        r48       -1
    c7        r49       -1
    MARK0002  'MARKER'                 'INTORG'
    c8        Obj       -22575
    c8        r1        1
    c8        r5        -1
    c8        r58       5300
    MARK0003  'MARKER'                 'INTEND'
    c9        Obj       -1000
    c9        r9        1
    c9        r22       1
    c9        r48       -1
    c9        r49       -1
    c10       Obj       -833
    c10       r9        1
    c10       r23       1
    c10       r48       -1
    c10       r49       -1
    c11       Obj       -79
    c11       r9        1
    c11       r25       1
    c12       Obj       -1818
    c12       r10       1
    c12       r26       1
    c12       r50       -1
    c12       r51       -1
    c13       Obj       -2727
    c13       r10       1
    c13       r27       1
    c13       r50       -1
    c13       r51       -1
    c14       Obj       -3030
    c14       r10       1
    c14       r28       1
    c14       r50       -1
    c14       r51       -1
    c15       Obj       -3636
    c15       r10       1
    c15       r29       1
    c15       r50       -1
    c15       r51       -1
    c16       Obj       -4000
    c16       r10       1
    c16       r30       1
    c16       r50       -1
    c16       r51       -1
    c17       Obj       -4000
    c17       r10       1
    c17       r31       1
    c17       r50       -1
    c17       r51       -1
    MARK0004  'MARKER'                 'INTORG'
    c18       r35       1
    c18       r57       1
    c18       r58       2250
    c19       Obj       -4000
    c19       r2        1
    c19       r3        1
    c19       r9        -1
    c19       r58       20450
    c20       r34       1
    c20       r35       1
    c20       r57       1
    c20       r58       2250
    c21       r34       2
    c21       r35       1
    c21       r57       1
    c21       r58       4500
    c22       r34       3
    c22       r35       1
    c22       r57       1
    c22       r58       6750
    c23       r46       1
    c23       r47       1
    c23       r52       1
    c23       r58       299
    c24       r45       1
    c24       r46       1
    c24       r47       1
    c24       r53       1
    c24       r58       3000
    c25       r48       1
    c25       r49       1
    c25       r54       1
    c25       r58       299
    c26       r50       1
    c26       r51       1
    c26       r54       1
    c26       r58       299
    c27       r46       1
    c27       r47       1
    c27       r48       1
    c27       r49       1
    c27       r52       1
    c27       r58       299
    c28       r45       1
    c28       r46       1
    c28       r47       1
    c28       r48       1
    c28       r49       1
    c28       r53       1
    c28       r58       4000
    c29       r46       1
    c29       r47       1
    c29       r50       1
    c29       r51       1
    c29       r52       1
    c29       r58       299
    c30       Obj       -4776
    c30       r2        1
    c30       r3        1
    c30       r9        -1
    c30       r58       25200
    c31       r45       1
    c31       r46       1
    c31       r47       1
    c31       r50       1
    c31       r51       1
    c31       r53       1
    c31       r58       4000
    c32       r48       1
    c32       r49       1
    c32       r50       1
    c32       r51       1
    c32       r52       1
    c32       r58       299
    c33       r46       1
    c33       r47       1
    c33       r48       1
    c33       r49       1
    c33       r50       1
    c33       r51       1
    c33       r52       1
    c33       r58       299
    c34       r45       1
    c34       r46       1
    c34       r47       1
    c34       r48       1
    c34       r49       1
    c34       r50       1
    c34       r51       1
    c34       r53       1
    c34       r58       5000
    c35       Obj       -3500
    c35       r55       1
    c35       r56       1
    c35       r57       1
    c35       r58       5900
    c36       Obj       -4900
    c36       r55       1
    c36       r56       1
    c36       r57       1
    c36       r58       11800
    c37       Obj       -4000
    c37       r2        1
    c37       r3        1
    c37       r9        -1
    c37       r57       1
    c37       r58       21700
    c38       Obj       -4776
    c38       r2        1
    c38       r3        1
    c38       r9        -1
    c38       r57       1
    c38       r58       26450
    c39       Obj       -17260
    c39       r4        1
    c39       r10       -1
    c39       r58       38890
    c40       Obj       -4180
    c40       r30       -1
    c40       r32       1
    c40       r33       1
    c40       r34       -1
    c40       r40       1
    c40       r58       25289
    c41       Obj       -3625
    c41       r29       -1
    c41       r32       1
    c41       r33       1
    c41       r34       -1
    c41       r40       1
    c41       r57       1
    c41       r58       21699
    c42       Obj       -18540
    c42       r0        1
    c42       r17       -1
    c42       r24       -1
    c42       r57       1
    c42       r58       27409
    c43       Obj       -9196
    c43       r13       -1
    c43       r30       -1
    c43       r32       1
    c43       r33       2
    c43       r34       -2
    c43       r36       1
    c43       r40       1
    c43       r58       25289
    c44       Obj       -7975
    c44       r16       -1
    c44       r29       -1
    c44       r32       1
    c44       r33       2
    c44       r34       -2
    c44       r36       1
    c44       r40       1
    c44       r57       1
    c44       r58       21699
    c45       Obj       -12200
    c45       r0        1
    c45       r17       -1
    c45       r24       -1
    c45       r33       -2
    c45       r57       1
    c45       r58       42499
    c46       Obj       -10120
    c46       r11       -1
    c46       r31       -1
    c46       r32       1
    c46       r33       2
    c46       r34       -2
    c46       r36       1
    c46       r40       1
    c46       r57       1
    c46       r58       40589
    c47       Obj       -12000
    c47       r0        1
    c47       r18       -1
    c47       r25       -1
    c47       r33       -1
    c47       r58       16600
    c48       Obj       -4180
    c48       r30       -1
    c48       r32       1
    c48       r33       1
    c48       r34       -1
    c48       r41       1
    c48       r42       1
    c48       r43       30
    c48       r44       1
    c48       r58       22999
    c49       Obj       -3625
    c49       r29       -1
    c49       r32       1
    c49       r33       1
    c49       r34       -1
    c49       r41       1
    c49       r42       1
    c49       r43       60
    c49       r44       1
    c49       r57       1
    c49       r58       17299
    c50       Obj       -12000
    c50       r0        1
    c50       r18       -1
    c50       r25       -1
    c50       r33       -1
    c50       r57       1
    c50       r58       20200
    c51       Obj       -11750
    c51       r1        1
    c51       r6        -1
    c51       r58       22590
    c52       Obj       -9196
    c52       r13       -1
    c52       r30       -1
    c52       r32       1
    c52       r33       2
    c52       r34       -2
    c52       r37       1
    c52       r41       1
    c52       r42       1
    c52       r43       30
    c52       r44       1
    c52       r58       22999
    c53       Obj       -7975
    c53       r16       -1
    c53       r29       -1
    c53       r32       1
    c53       r33       2
    c53       r34       -2
    c53       r37       1
    c53       r41       1
    c53       r42       1
    c53       r43       60
    c53       r44       1
    c53       r57       1
    c53       r58       17299
    c54       Obj       -10120
    c54       r11       -1
    c54       r31       -1
    c54       r32       1
    c54       r33       2
    c54       r34       -2
    c54       r37       1
    c54       r41       1
    c54       r42       1
    c54       r43       25
    c54       r44       1
    c54       r57       1
    c54       r58       38299
    c55       Obj       -20800
    c55       r1        1
    c55       r7        -1
    c55       r57       1
    c55       r58       12000
    c56       r36       1
    c56       r37       -1
    c56       r38       1
    c56       r39       -1
    c56       r40       1
    c56       r41       -1
    c56       r42       -3
    c56       r43       -40.0000001
    c56       r44       -2
    c56       r58       8939
    MARK0005  'MARKER'                 'INTEND'
    c57       Obj       -2500
    c57       r5        1
    c57       r14       1
    c57       r45       -1
    c57       r46       -1
    c57       r47       -1
    c58       Obj       -5000
    c58       r7        1
    c58       r11       1
    c58       r46       -1
    c58       r47       -1
    c59       Obj       -5000
    c59       r7        1
    c59       r12       1
    c59       r46       -1
    c59       r47       -1
    c60       Obj       -3611
    c60       r7        1
    c60       r15       1
    c60       r46       -1
    c60       r47       -1
    c61       Obj       -1263
    c61       r7        1
    c61       r17       1
RHS
    RHS_V     r0        1
    RHS_V     r1        1
    RHS_V     r3        1
    RHS_V     r4        1
    RHS_V     r32       2
    RHS_V     r35       1
    RHS_V     r36       1
    RHS_V     r38       1
    RHS_V     r40       1
    RHS_V     r52       1
    RHS_V     r53       1
    RHS_V     r54       1
    RHS_V     r56       1
    RHS_V     r57       1
    RHS_V     r58       116897
BOUNDS
 BV BOUND     c0      
 UP BOUND     c1        1
 UP BOUND     c2        1
 UP BOUND     c3        1
 UP BOUND     c4        1
 UP BOUND     c5        1
 UP BOUND     c6        1
 UP BOUND     c7        1
 BV BOUND     c8      
 UP BOUND     c9        1
 UP BOUND     c10       1
 UP BOUND     c11       1
 UP BOUND     c12       1
 UP BOUND     c13       1
 UP BOUND     c14       1
 UP BOUND     c15       1
 UP BOUND     c16       1
 UP BOUND     c17       1
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
 BV BOUND     c50     
 BV BOUND     c51     
 BV BOUND     c52     
 BV BOUND     c53     
 BV BOUND     c54     
 BV BOUND     c55     
 BV BOUND     c56     
 UP BOUND     c57       1
 UP BOUND     c58       1
 UP BOUND     c59       1
 UP BOUND     c60       1
 UP BOUND     c61       1
ENDATA
