"""Small drawings of what is to be measured; no line is longer than 38 signs."""

BOAT = r"""
  \_                     _/  ^
~~~~\~~~~~~~~~~~~~~~~~~~/~~~~|~ water
     \_________________/     v depth
     |<---- length --->|
   stern    middle    bow
Beam: across, at the water."""

PLACE = r"""
  stern       middle        bow
    <-----------0----------->
      below 0 is    above 0 is
      aft of it     forward of it"""

MOUNT = r"""
  clamp =[]=     ^
         ||      | height
~~~~~~~~~||~~~~~~|~~~~~~~ water
 keel ___||______v
         ||
         (+)   shaft: clamp to (+)"""
