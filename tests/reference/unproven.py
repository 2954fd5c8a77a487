"""What no check of this folder proves, for README.md."""

NOT_VALIDATED = """
## What is not validated

The checks above hold single laws, networks of known answer and the way they are solved. The whole night in a tent
is held to no measurement, since none was found:

- **How much warmer the head is than the floor.** No published temperature profile of a tent heated by a stove was
  found, and no log of one with a known heat. The layered air is held to limits (a plume, a filling box, an emptying
  one, a neutral plane) and to its own refinement; how large the difference becomes in a real shelter is unproven.
- **What a tent loses.** No measured watts per kelvin of a heated tent were available. Its skin is held to standards
  of building parts and to ratios measured on film greenhouses.
- **What a tent leaks.** No measured leakage area, no pressure test of a tent. Leaks are held to two models of small
  houses, which tents leave: see *leakage of whole shelters*. Coefficients of the wind are those of small houses.
- **Cold currents along fabric**, how far they fall and how much they mix: a block model from memory, no measurement
  in a small shelter.
- **Still air** over a cold floor or under a warm roof: published laws of its film differ by a factor of 2.4, ours gives
  most.
- **A small stove's fire.** No open record of a camp stove with its mass, flue temperature and heat was found.
  Single pieces are held to runs in a cone calorimeter, a load's length to what people say. The share of gas that
  burns, the feedback of a colder firebox and the chance that coals light the next load are assumptions.
- **The heat a thin pipe gives.** Friction and draught are held to a standard; soot's radiation is left out, and gas
  below a Reynolds number of 2300 is uncertain by a factor of two.
- **Fabric's emissivity and air permeability, a quilt's conductivity**: from memory, no measurement of tent fabrics.
- **Snow's conductivity**: published formulas differ by a factor of two.
- **The night sky**: formulas differ by 7 to 11 K; ours is the one that fitted the one measured night beside the
  tests.
- **The floor's edge**: the ground under a floor is a column with a law for its edge; see *slab on the ground* for
  what a column cannot be held to.

A fit to logged nights narrows these for one shelter and one stove; it proves nothing about others.
"""
