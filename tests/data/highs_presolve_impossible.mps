NAME        
ROWS
 N  Obj     
 G  r0      
 L  r1      
 E  r2      
 E  r3      
 E  r4      
 E  r5      
 E  r6      
 L  r7      
 L  r8      
 L  r9      
 L  r10     
 L  r11     
 L  r12     
 E  r13     
 L  r14     
 L  r15     
 L  r16     
 L  r17     
 L  r18     
 L  r19     
 L  r20     
 L  r21     
 L  r22     
 G  r23     
 G  r24     
 L  r25     
 L  r26     
 E  r27     
 L  r28     
 G  r29     
COLUMNS
    MARK0000  'MARKER'                 'INTORG'
    c0        Obj       25257
    c0        r0        1
    c0        r1        1
    c0        r8        -2
    c0        r9        -1
    c0        r10       -1
    c0        r11       -1
    c0        r12       1
    c0        r28       25257
    c0        r29       7080
    MARK0001  'MARKER'                 'INTEND'
    c1        r4        1
    MARK0002  'MARKER'                 'INTORG'
    c2        Obj       1998
    c2        r13       1
    c2        r14       1
    c2        r28       1998
    c3        Obj       3200
    c3        r13       2
    c3        r14       1
    c3        r28       3200
    c4        Obj       5198
    c4        r13       3
    c4        r14       1
    c4        r28       5198
    c5        Obj       800
    c5        r24       1
    c5        r25       1
    c5        r26       1
    c5        r28       800
    c6        Obj       51896
    c6        r27       1
    c6        r28       51896
    c6        r29       4150
    c7        Obj       28283
    c7        r2        1
    c7        r4        -1
    c7        r28       28283
    c7        r29       23125
    c8        Obj       25974
    c8        r3        1
    c8        r6        -1
    c8        r28       25974
    c8        r29       22250
    c9        Obj       30133
    c9        r5        -1
    c9        r7        1
    c9        r8        1
    c9        r9        1
    c9        r12       -1
    c9        r13       -1
    c9        r15       1
    c9        r28       30133
    c9        r29       3000
    c10       Obj       2300
    c10       r6        1
    c10       r8        1
    c10       r11       1
    c10       r12       -1
    c10       r13       -1
    c10       r19       1
    c10       r28       2300
    c11       Obj       27833
    c11       r5        -1
    c11       r7        1
    c11       r8        1
    c11       r9        1
    c11       r12       -1
    c11       r13       -1
    c11       r16       1
    c11       r21       1
    c11       r22       25
    c11       r23       1
    c11       r28       27833
    c11       r29       3000
    c12       r6        1
    c12       r8        1
    c12       r11       1
    c12       r12       -1
    c12       r13       -1
    c12       r20       1
    c12       r21       1
    c12       r22       20
    c12       r23       1
    c13       Obj       2300
    c13       r15       1
    c13       r16       -1
    c13       r17       1
    c13       r18       -1
    c13       r19       1
    c13       r20       -1
    c13       r21       -2
    c13       r22       -60.0000001
    c13       r23       -2
    c13       r28       2300
    MARK0003  'MARKER'                 'INTEND'
    c14       r4        1
    c14       r5        1
    c14       r24       -1
    c14       r25       -1
    c14       r29       5000
RHS
    RHS_V     r1        1
    RHS_V     r2        1
    RHS_V     r3        1
    RHS_V     r7        2
    RHS_V     r14       1
    RHS_V     r15       1
    RHS_V     r17       1
    RHS_V     r19       1
    RHS_V     r26       1
    RHS_V     r27       1
    RHS_V     r28       181402
    RHS_V     r29       64604.5
BOUNDS
 BV BOUND     c0      
 UP BOUND     c1        1
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
 UP BOUND     c14       1
ENDATA
