/** The procedure of every job of a long build. */
export const longBuildProcedure = `procedure: rib-bond
title: Bond a rib to its spar
revision: A
manual: { document: A1-BM, section: 07-30, revision: 3.2, date: 2026-03-01 }
takes: 6 h
gather:
  tools:
    - { tool: feeler-gauge, title: Feeler gauge }
    - { tool: caliper, title: Vernier caliper }
    - { tool: torque-wrench, title: Torque wrench }
  materials:
    - { material: adhesive, title: Two-part adhesive, lot: true, in-date: true }
  shop: { temperature: 18 to 28 °C, humidity: at most 70 % }
steps:
  - step: look
    title: Look at the parts
    do: Lay the rib and its spar out and look along each edge for bruises.
    takes: 10 min
    readings:
      - { reading: bruises, ask: Bruises, choices: [none, some], accept: [none], source: invented for the demo }
  - step: flange
    title: Measure the flanges
    do: Measure the flange at every station of the rib.
    why: The length of the rivets follows from it.
    takes: 40 min
    readings:
      - { reading: thickness, ask: Thickness of the flange, unit: mm, limits: 3.2 ± 0.1 mm, positions: [s1, s2, s3, s4, s5, s6, s7, s8, s9, s10, s11, s12], tool: caliper, source: invented for the demo }
  - step: holes
    title: Measure the holes
    takes: 40 min
    readings:
      - { reading: hole, ask: Diameter of the hole, unit: mm, limits: 3.25 to 3.35 mm, positions: [s1, s2, s3, s4, s5, s6, s7, s8, s9, s10, s11, s12], tool: caliper, source: invented for the demo }
  - step: dry-fit
    title: Fit the rib dry
    do: Clamp the rib as it will be glued and measure the gap at every station.
    takes: 1 h
    proves: [rib-line]
    back-to: dry-fit
    readings:
      - { reading: gap, ask: Largest gap at the station, unit: mm, limits: at most 0.15 mm, positions: [s1, s2, s3, s4, s5, s6, s7, s8, s9, s10, s11, s12], tool: feeler-gauge, source: invented for the demo }
      - { reading: line, ask: Out of line, unit: mm, positions: [root, mid, tip], limits: at most 1 mm, source: invented for the demo }
  - step: mix
    title: Mix the adhesive
    warning: The hardener burns.
    takes: 8 min
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, batch: 30 to 150 g, pot-life: [35 min at 20 °C, 20 min at 28 °C], sample: true, source: invented for the demo }
  - step: spread
    title: Spread and close
    takes: 10 min
    permanent: true
    sets: [rib-line]
    in-pot-life-of: mix
    readings:
      - { reading: squeeze-out, ask: Bead along the joint, choices: [continuous, broken], accept: [continuous], source: invented for the demo }
  - step: bond-cure
    title: Let it cure
    cure: { of: mix, stages: { handle: 24 h at 18 °C, full: 48 h at 18 °C }, until: handle, floor: 18 °C, reading-every: 12 h, source: invented for the demo }
  - step: after
    title: Measure the line again
    takes: 10 min
    after-stage: { cure: bond-cure, stage: handle }
    relies-on: [rib-line]
    readings:
      - { reading: line-after, ask: Out of line, unit: mm, positions: [root, mid, tip], limits: at most 1 mm, source: invented for the demo }
  - step: bolts
    title: Tighten the bolts
    tighten: { fasteners: 8, order: [1, 5, 3, 7, 2, 6, 4, 8], torque: 160 to 190 in·lb, drag: measured, tool: torque-wrench, mark: true, source: invented for the demo }
  - step: inspect
    title: Inspector looks at the joint
    hold: { by: inspector, look-for: [bead continuous, marks whole], of: [dry-fit, mix, spread, bond-cure, after, bolts] }
  - step: break-sample
    title: Break the sample
    after-stage: { cure: bond-cure, stage: full }
    break: { of: mix, not-before: full }
`;
