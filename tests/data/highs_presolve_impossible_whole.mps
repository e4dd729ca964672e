NAME        
ROWS
 N  Obj     
 L  r0      
 E  r1      
 L  r2      
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
 L  r13     
 L  r14     
 L  r15     
 L  r16     
 L  r17     
 E  r18     
 L  r19     
 L  r20     
 L  r21     
 L  r22     
 L  r23     
 L  r24     
 L  r25     
 L  r26     
 L  r27     
 G  r28     
 G  r29     
 G  r30     
 L  r31     
 L  r32     
 G  r33     
 L  r34     
 L  r35     
 L  r36     
 L  r37     
 L  r38     
 L  r39     
COLUMNS
    MARK0000  'MARKER'                 'INTORG'
    c0        Obj       -7200
    c0        r0        1
    c0        r13       -2
    c0        r14       -1
    c0        r15       -1
    c0        r16       -1
    c0        r17       1
    c0        r39       12008
    c1        Obj       -7080
    c1        r0        1
    c1        r13       -2
    c1        r14       -1
    c1        r15       -1
    c1        r16       -1
    c1        r17       1
    c1        r39       7100
    c2        Obj       -21750
    c2        r1        1
    c2        r4        -1
    c2        r39       5998
    c3        Obj       -18000
    c3        r1        1
    c3        r4        -1
    c3        r39       13299
    c4        Obj       -21750
    c4        r1        1
    c4        r4        -1
    c4        r39       5998
    c5        Obj       -19500
    c5        r1        1
    c5        r5        -1
    c5        r39       8499
    c6        Obj       -14000
    c6        r3        1
    c6        r6        -1
    c6        r39       12400
    c7        Obj       -16000
    c7        r3        1
    c7        r10       -1
    c7        r39       41200
    c8        Obj       -25750
    c8        r3        1
    c8        r11       -1
    c8        r39       34990
    c9        Obj       -4715
    c9        r9        -1
    c9        r12       1
    c9        r13       1
    c9        r16       1
    c9        r17       -1
    c9        r18       -1
    c9        r24       1
    c9        r39       14599
    c10       Obj       -4715
    c10       r9        -1
    c10       r12       1
    c10       r13       1
    c10       r16       1
    c10       r17       -1
    c10       r18       -1
    c10       r24       1
    c10       r39       16299
    c11       Obj       -5130
    c11       r8        -1
    c11       r12       1
    c11       r13       1
    c11       r14       1
    c11       r17       -1
    c11       r18       -1
    c11       r20       1
    c11       r39       30640
    c12       Obj       -5760
    c12       r7        -1
    c12       r12       1
    c12       r13       1
    c12       r14       1
    c12       r17       -1
    c12       r18       -1
    c12       r20       1
    c12       r39       28249
    c13       Obj       -5760
    c13       r7        -1
    c13       r12       1
    c13       r13       1
    c13       r14       1
    c13       r17       -1
    c13       r18       -1
    c13       r20       1
    c13       r39       28249
    c14       Obj       -5760
    c14       r7        -1
    c14       r12       1
    c14       r13       1
    c14       r14       1
    c14       r17       -1
    c14       r18       -1
    c14       r20       1
    c14       r39       28699
    c15       Obj       -5760
    c15       r7        -1
    c15       r12       1
    c15       r13       1
    c15       r14       1
    c15       r17       -1
    c15       r18       -1
    c15       r20       1
    c15       r39       30399
    c16       r10       1
    c16       r13       1
    c16       r16       1
    c16       r17       -1
    c16       r18       -1
    c16       r24       1
    c16       r39       3950
    c17       r10       1
    c17       r13       1
    c17       r16       1
    c17       r17       -1
    c17       r18       -1
    c17       r24       1
    c17       r39       3950
    c18       r10       1
    c18       r13       1
    c18       r16       1
    c18       r17       -1
    c18       r18       -1
    c18       r24       1
    c18       r39       4400
    c19       r10       1
    c19       r13       1
    c19       r16       1
    c19       r17       -1
    c19       r18       -1
    c19       r24       1
    c19       r39       6100
    c20       r11       1
    c20       r13       1
    c20       r16       1
    c20       r17       -1
    c20       r18       -1
    c20       r24       1
    c20       r39       3950
    c21       r11       1
    c21       r13       1
    c21       r16       1
    c21       r17       -1
    c21       r18       -1
    c21       r24       1
    c21       r39       3950
    c22       r11       1
    c22       r13       1
    c22       r16       1
    c22       r17       -1
    c22       r18       -1
    c22       r24       1
    c22       r39       4400
    c23       r11       1
    c23       r13       1
    c23       r16       1
    c23       r17       -1
    c23       r18       -1
    c23       r24       1
    c23       r39       6100
    c24       Obj       -4715
    c24       r9        -1
    c24       r12       1
    c24       r13       1
    c24       r16       1
    c24       r17       -1
    c24       r18       -1
    c24       r25       1
    c24       r26       1
    c24       r27       30797.1014492754
    c24       r28       1
    c24       r39       10199
    c25       Obj       -5130
    c25       r8        -1
    c25       r12       1
    c25       r13       1
    c25       r14       1
    c25       r17       -1
    c25       r18       -1
    c25       r21       1
    c25       r26       1
    c25       r27       60000
    c25       r28       1
    c25       r39       26240
    c26       Obj       -5760
    c26       r7        -1
    c26       r12       1
    c26       r13       1
    c26       r14       1
    c26       r17       -1
    c26       r18       -1
    c26       r21       1
    c26       r26       1
    c26       r27       25000
    c26       r28       1
    c26       r39       24299
    c27       r10       1
    c27       r13       1
    c27       r16       1
    c27       r17       -1
    c27       r18       -1
    c27       r25       1
    c27       r26       1
    c27       r27       20000
    c27       r28       1
    c28       r11       1
    c28       r13       1
    c28       r16       1
    c28       r17       -1
    c28       r18       -1
    c28       r25       1
    c28       r26       1
    c28       r27       13175.2305665349
    c28       r28       1
    c29       r20       1
    c29       r21       -1
    c29       r22       1
    c29       r23       -1
    c29       r24       1
    c29       r25       -1
    c29       r26       -3
    c29       r27       -28660.7191796346
    c29       r28       -2
    c29       r39       3950
    c30       r20       1
    c30       r21       -1
    c30       r22       1
    c30       r23       -1
    c30       r24       1
    c30       r25       -1
    c30       r26       -3
    c30       r27       -28660.7191796346
    c30       r28       -2
    c30       r39       3950
    c31       Obj       -3788
    c31       r4        1
    c31       r7        1
    c31       r29       -1
    c31       r30       -1
    c31       r31       -1
    c32       Obj       -5000
    c32       r4        1
    c32       r8        1
    c32       r29       -1
    c32       r30       -1
    c32       r31       -1
    c33       Obj       -5000
    c33       r5        1
    c33       r7        1
    c33       r30       -1
    c33       r31       -1
    c34       Obj       -3611
    c34       r5        1
    c34       r8        1
    c34       r30       -1
    c34       r31       -1
    c35       Obj       -4000
    c35       r6        1
    c35       r9        1
    c35       r33       -1
    c35       r34       -1
    c36       r18       1
    c36       r19       1
    c36       r39       2390
    c37       r18       2
    c37       r19       1
    c37       r39       4780
    c38       r18       3
    c38       r19       1
    c38       r39       7170
    c39       r30       1
    c39       r31       1
    c39       r35       1
    c39       r39       5291
    c40       r33       1
    c40       r34       1
    c40       r35       1
    c40       r39       962
    c41       r30       1
    c41       r31       1
    c41       r33       1
    c41       r34       1
    c41       r35       1
    c41       r39       6253
    c42       r29       1
    c42       r30       1
    c42       r31       1
    c42       r36       1
    c42       r39       3870
    c43       r33       1
    c43       r34       1
    c43       r36       1
    c43       r39       1290
    c44       r29       1
    c44       r30       1
    c44       r31       1
    c44       r33       1
    c44       r34       1
    c44       r36       1
    c44       r39       3870
    c45       r30       1
    c45       r31       1
    c45       r37       1
    c45       r39       400
    c46       r33       1
    c46       r34       1
    c46       r37       1
    c46       r39       200
    c47       r30       1
    c47       r31       1
    c47       r33       1
    c47       r34       1
    c47       r37       1
    c47       r39       400
    MARK0001  'MARKER'                 'INTEND'
RHS
    RHS_V     r0        1
    RHS_V     r1        1
    RHS_V     r2        1
    RHS_V     r3        1
    RHS_V     r12       2
    RHS_V     r19       1
    RHS_V     r20       1
    RHS_V     r22       1
    RHS_V     r24       1
    RHS_V     r35       1
    RHS_V     r36       1
    RHS_V     r37       1
    RHS_V     r38       1
    RHS_V     r39       86571
RANGES
    RANGE     r0        1
    RANGE     r2        1
    RANGE     r38       1
BOUNDS
 BV BOUND     c0      
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
ENDATA
