*SENSE:Minimize
NAME          build
ROWS
 N  OBJ
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
 L  r12high
 L  r13high
 E  r14
 L  r15high
 L  r16high
 L  r17high
 L  r18high
 L  r19high
 L  r20high
 L  r21high
 L  r22high
 L  r23high
 G  r24low
 G  r25low
 L  r26high
 G  r27low
 L  r28high
 G  r29low
 L  r30high
 L  r31high
 G  r32low
 L  r32high
 L  r33high
 L  r34high
 L  r35high
 L  r36high
 L  r37high
COLUMNS
    MARK      'MARKER'                 'INTORG'
    c0        r0         1.000000000000e+00
    c0        r13high   -3.000000000000e+00
    c0        r37high    1.864900000000e+04
    c0        OBJ       -8.000000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c13       r9        -1.000000000000e+00
    c13       r12high    1.000000000000e+00
    c13       r13high    1.000000000000e+00
    c13       r14       -1.000000000000e+00
    c13       r19high    1.000000000000e+00
    c13       r22high    1.000000000000e+00
    c13       r23high    3.000000000000e+01
    c13       r24low     1.000000000000e+00
    c13       r37high    3.209000000000e+04
    c13       OBJ       -4.110000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c14       r8        -1.000000000000e+00
    c14       r12high    1.000000000000e+00
    c14       r13high    1.000000000000e+00
    c14       r14       -1.000000000000e+00
    c14       r17high    1.000000000000e+00
    c14       r22high    1.000000000000e+00
    c14       r23high    3.000000000000e+01
    c14       r24low     1.000000000000e+00
    c14       r37high    3.209000000000e+04
    c14       OBJ       -2.466000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c15       r11        1.000000000000e+00
    c15       r13high    1.000000000000e+00
    c15       r14       -1.000000000000e+00
    c15       r21high    1.000000000000e+00
    c15       r22high    1.000000000000e+00
    c15       r23high    1.317523056653e+01
    c15       r24low     1.000000000000e+00
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c18       r16high    1.000000000000e+00
    c18       r17high   -1.000000000000e+00
    c18       r18high    1.000000000000e+00
    c18       r19high   -1.000000000000e+00
    c18       r20high    1.000000000000e+00
    c18       r21high   -1.000000000000e+00
    c18       r22high   -3.000000000000e+00
    c18       r23high   -1.003125171284e+02
    c18       r24low    -2.000000000000e+00
    c18       r37high    9.700000000000e+03
    MARK      'MARKER'                 'INTEND'
    c19       r4         1.000000000000e+00
    c19       r8         1.000000000000e+00
    c19       r25low    -1.000000000000e+00
    c19       r26high   -1.000000000000e+00
    c19       OBJ       -2.778000000000e+03
    MARK      'MARKER'                 'INTORG'
    c2        r1         1.000000000000e+00
    c2        r4        -1.000000000000e+00
    c2        r33high   -1.000000000000e+00
    c2        r35high   -1.000000000000e+00
    c2        r37high    5.550000000000e+03
    c2        OBJ       -2.250000000000e+04
    MARK      'MARKER'                 'INTEND'
    c20       r5         1.000000000000e+00
    c20       r9         1.000000000000e+00
    c20       r27low    -1.000000000000e+00
    c20       r28high   -1.000000000000e+00
    c20       OBJ       -1.000000000000e+03
    c21       r6         1.000000000000e+00
    c21       r9         1.000000000000e+00
    c21       r27low    -1.000000000000e+00
    c21       r28high   -1.000000000000e+00
    c21       OBJ       -5.560000000000e+02
    c22       r7         1.000000000000e+00
    c22       r10        1.000000000000e+00
    c22       r29low    -1.000000000000e+00
    c22       r30high   -1.000000000000e+00
    c22       OBJ       -4.000000000000e+03
    MARK      'MARKER'                 'INTORG'
    c23       r14        1.000000000000e+00
    c23       r15high    1.000000000000e+00
    c23       r37high    1.599000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c24       r14        2.000000000000e+00
    c24       r15high    1.000000000000e+00
    c24       r37high    1.599000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c25       r14        3.000000000000e+00
    c25       r15high    1.000000000000e+00
    c25       r37high    1.599000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c26       r25low     1.000000000000e+00
    c26       r26high    1.000000000000e+00
    c26       r31high    1.000000000000e+00
    c26       r37high    3.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c27       r27low     1.000000000000e+00
    c27       r28high    1.000000000000e+00
    c27       r31high    1.000000000000e+00
    c27       r37high    2.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c28       r29low     1.000000000000e+00
    c28       r30high    1.000000000000e+00
    c28       r31high    1.000000000000e+00
    c28       r37high    1.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c29       r25low     1.000000000000e+00
    c29       r26high    1.000000000000e+00
    c29       r27low     1.000000000000e+00
    c29       r28high    1.000000000000e+00
    c29       r31high    1.000000000000e+00
    c29       r37high    4.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c3        r2         1.000000000000e+00
    c3        r6        -1.000000000000e+00
    c3        r34high   -1.000000000000e+00
    c3        r37high    5.550000000000e+03
    c3        OBJ       -7.200000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c30       r25low     1.000000000000e+00
    c30       r26high    1.000000000000e+00
    c30       r29low     1.000000000000e+00
    c30       r30high    1.000000000000e+00
    c30       r31high    1.000000000000e+00
    c30       r37high    3.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c31       r27low     1.000000000000e+00
    c31       r28high    1.000000000000e+00
    c31       r29low     1.000000000000e+00
    c31       r30high    1.000000000000e+00
    c31       r31high    1.000000000000e+00
    c31       r37high    2.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c32       r25low     1.000000000000e+00
    c32       r26high    1.000000000000e+00
    c32       r27low     1.000000000000e+00
    c32       r28high    1.000000000000e+00
    c32       r29low     1.000000000000e+00
    c32       r30high    1.000000000000e+00
    c32       r31high    1.000000000000e+00
    c32       r37high    4.000000000000e+02
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c34       r32low     1.000000000000e+00
    c34       r32high    1.000000000000e+00
    c34       r37high    1.060000000000e+04
    c34       OBJ       -4.850000000000e+03
    MARK      'MARKER'                 'INTEND'
    c35       r33high    1.000000000000e+00
    c35       r34high    1.000000000000e+00
    c35       OBJ       -1.000000000000e+03
    c36       r35high    1.000000000000e+00
    c36       r36high    1.000000000000e+00
    c36       OBJ       -1.000000000000e+03
    MARK      'MARKER'                 'INTORG'
    c4        r2         1.000000000000e+00
    c4        r5        -1.000000000000e+00
    c4        r37high    2.349900000000e+04
    c4        OBJ       -8.000000000000e+03
    MARK      'MARKER'                 'INTEND'
    MARK      'MARKER'                 'INTORG'
    c7        r3         1.000000000000e+00
    c7        r11       -1.000000000000e+00
    c7        r36high   -1.000000000000e+00
    c7        r37high    1.700000000000e+04
    c7        OBJ       -1.400000000000e+04
    MARK      'MARKER'                 'INTEND'
RHS
    RHS       r0         1.000000000000e+00
    RHS       r1         1.000000000000e+00
    RHS       r2         1.000000000000e+00
    RHS       r3         1.000000000000e+00
    RHS       r4         0.000000000000e+00
    RHS       r5         0.000000000000e+00
    RHS       r6         0.000000000000e+00
    RHS       r7         0.000000000000e+00
    RHS       r8         0.000000000000e+00
    RHS       r9         0.000000000000e+00
    RHS       r10        0.000000000000e+00
    RHS       r11        0.000000000000e+00
    RHS       r12high    2.000000000000e+00
    RHS       r13high    0.000000000000e+00
    RHS       r14        0.000000000000e+00
    RHS       r15high    1.000000000000e+00
    RHS       r16high    1.000000000000e+00
    RHS       r17high    0.000000000000e+00
    RHS       r18high    1.000000000000e+00
    RHS       r19high    0.000000000000e+00
    RHS       r20high    1.000000000000e+00
    RHS       r21high    0.000000000000e+00
    RHS       r22high    0.000000000000e+00
    RHS       r23high    0.000000000000e+00
    RHS       r24low     0.000000000000e+00
    RHS       r25low     0.000000000000e+00
    RHS       r26high    0.000000000000e+00
    RHS       r27low     0.000000000000e+00
    RHS       r28high    0.000000000000e+00
    RHS       r29low     0.000000000000e+00
    RHS       r30high    0.000000000000e+00
    RHS       r31high    1.000000000000e+00
    RHS       r32low     0.000000000000e+00
    RHS       r32high    1.000000000000e+00
    RHS       r33high    0.000000000000e+00
    RHS       r34high    0.000000000000e+00
    RHS       r35high    0.000000000000e+00
    RHS       r36high    0.000000000000e+00
    RHS       r37high    2.415840000000e+05
BOUNDS
 BV BND       c0      
 BV BND       c13     
 BV BND       c14     
 BV BND       c15     
 BV BND       c18     
 UP BND       c19        1.000000000000e+00
 BV BND       c2      
 UP BND       c20        1.000000000000e+00
 UP BND       c21        1.000000000000e+00
 UP BND       c22        1.000000000000e+00
 BV BND       c23     
 BV BND       c24     
 BV BND       c25     
 BV BND       c26     
 BV BND       c27     
 BV BND       c28     
 BV BND       c29     
 BV BND       c3      
 BV BND       c30     
 BV BND       c31     
 BV BND       c32     
 BV BND       c34     
 UP BND       c35        1.000000000000e+00
 UP BND       c36        1.000000000000e+00
 BV BND       c4      
 BV BND       c7      
ENDATA
