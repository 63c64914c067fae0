NAME        
ROWS
 N  Obj     
 E  r0      
 L  r1      
 L  r2      
 L  r3      
 L  r4      
 L  r5      
 L  r6      
 L  r7      
 L  r8      
 L  r9      
 L  r10     
 L  r11     
 L  r12     
 L  r13     
 L  r14     
 L  r15     
 L  r16     
 L  r17     
 L  r18     
 L  r19     
 L  r20     
COLUMNS
    MARK0000  'MARKER'                 'INTORG'
    c0        r0        1
    c0        r1        1
    c0        r3        1
    c0        r19       78000000
    c0        r20       46835880
    c1        r0        2
    c1        r1        1
    c1        r4        1
    c1        r19       78000000
    c1        r20       54549551
    c2        r0        3
    c2        r1        1
    c2        r5        1
    c2        r19       78000000
    c2        r20       62263222
    c3        r0        4
    c3        r1        1
    c3        r6        1
    c3        r19       78000000
    c3        r20       78000000
    c4        r0        1
    c4        r2        1
    c4        r7        1
    c4        r19       268000000
    c4        r20       180325678
    c5        r0        2
    c5        r2        1
    c5        r8        1
    c5        r19       268000000
    c5        r20       188039348
    c6        r0        3
    c6        r2        1
    c6        r9        1
    c6        r19       268000000
    c6        r20       195753019
    c7        r0        4
    c7        r2        1
    c7        r10       1
    c7        r19       268000000
    c7        r20       203466690
    c8        r0        5
    c8        r2        1
    c8        r11       1
    c8        r19       268000000
    c8        r20       211180361
    c9        r0        6
    c9        r2        1
    c9        r12       1
    c9        r19       268000000
    c9        r20       218894032
    c10       r0        7
    c10       r2        1
    c10       r13       1
    c10       r19       268000000
    c10       r20       226607703
    c11       r0        8
    c11       r2        1
    c11       r14       1
    c11       r19       268000000
    c11       r20       234321374
    c12       r0        9
    c12       r2        1
    c12       r15       1
    c12       r19       268000000
    c12       r20       242035045
    c13       r0        10
    c13       r2        1
    c13       r16       1
    c13       r19       268000000
    c13       r20       249748715
    c14       r0        11
    c14       r2        1
    c14       r17       1
    c14       r19       268000000
    c14       r20       268000000
    c15       r0        12
    c15       r2        1
    c15       r18       1
    c15       r19       268000000
    c15       r20       268000000
    c16       Obj       1
    c16       r3        -1
    c17       Obj       1
    c17       r4        -1
    c18       Obj       1
    c18       r5        -1
    c19       Obj       1
    c19       r6        -1
    c20       Obj       1
    c20       r7        -4
    c21       Obj       1
    c21       r8        -4
    c22       Obj       1
    c22       r9        -4
    c23       Obj       1
    c23       r10       -3
    c24       Obj       1
    c24       r11       -2
    c25       Obj       1
    c25       r12       -2
    c26       Obj       1
    c26       r13       -1
    c27       Obj       1
    c27       r14       -1
    c28       Obj       1
    c28       r15       -1
    c29       Obj       1
    c29       r16       -1
    c30       Obj       1
    c30       r17       -1
    c31       Obj       1
    c31       r18       -1
    MARK0001  'MARKER'                 'INTEND'
RHS
    RHS_V     r0        12
    RHS_V     r1        1
    RHS_V     r2        4
    RHS_V     r19       268000000
    RHS_V     r20       268000000
BOUNDS
 BV BOUND     c0      
 BV BOUND     c1      
 BV BOUND     c2      
 BV BOUND     c3      
 UI BOUND     c4        4
 UI BOUND     c5        4
 UI BOUND     c6        4
 UI BOUND     c7        3
 UI BOUND     c8        2
 UI BOUND     c9        2
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
ENDATA
