/** The steps of one of many procedures, as a builder has them after some years: 25 steps with every part of a step. */
const stepsOf = (number: number): readonly string[] => [
  `  - step: look
    title: Look at the parts
    do: Lay both halves out and look along each edge for bruises.
    reaches: [bay-${number}]
    photo: [{ photo: parts, show: both halves laid out, from: above }]`,
  ...Array.from(
    { length: 14 },
    (_, index) => `  - step: fit-${index}
    title: Fit bracket ${index} dry
    do: Fit the bracket dry and measure the gap under its flange.
    why: A gap that is seen now is closed with a file, later only with a drill.
    takes: 15 min
    place: hangar
    readings:
      - { reading: gap-${index}, ask: Largest gap under the flange, unit: mm, limits: at most 0.2 mm, tool: feeler-gauge, source: manual 5.${index} }
      - { reading: stack-${index}, ask: Thickness of the stack, unit: mm, limits: 3.2 ± 0.1 mm, tool: caliper, source: manual 5.${index} }
    results:
      - { result: rivet-${index}, calculation: rivet-length, from: { grip: stack-${index}, diameter: 1/8 in }, limits: 5 to 12 mm, source: manual 5.${index} }
    back-to: look`,
  ),
  `  - step: dry-fit
    title: Fit the whole dry
    proves: [line-${number}]
    readings:
      - { reading: line, ask: Out of line, unit: mm, positions: [root, mid, tip], limits: at most 1 mm, source: manual 6.1 }`,
  `  - step: mix
    title: Mix the adhesive
    warning: The hardener burns.
    takes: 5 min
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 %, batch: 30 to 150 g, pot-life: [35 min at 20 °C, 20 min at 28 °C], sample: true, source: data sheet }`,
  `  - step: spread
    title: Spread and close
    takes: 10 min
    permanent: true
    sets: [line-${number}]
    in-pot-life-of: mix`,
  `  - step: cure
    title: Let it set
    cure: { of: mix, stages: { handle: [24 h at 25 °C, 48 h at 18 °C], full: 7 d at 20 °C }, until: handle, floor: 18 °C, reading-every: 12 h, source: data sheet }`,
  `  - step: rig
    title: Rig it
    relies-on: [line-${number}]
    after-stage: { cure: cure, stage: handle }`,
  `  - step: bolts
    title: Tighten the bolts
    tighten: { fasteners: 4, order: [1, 3, 2, 4], torque: 160 to 190 in·lb, drag: measured, tool: torque-wrench, mark: true, source: manual 7.2 }`,
  `  - step: inspect
    title: Have it looked at
    hold: { by: inspector, look-for: [squeeze-out along the whole edge, marks whole] }`,
  `  - step: plug
    title: Plug the fitting
    loose: [{ item: plug-${number}, left: finger tight, because: the hose comes later, before: first-start }]`,
  `  - step: close
    title: Close the bay
    covers: [bay-${number}]`,
  `  - step: unplug
    title: Put the hose on
    closes: [plug-${number}]`,
];

const procedureOf = (number: number): string => `procedure: bay-${number}
title: Build bay ${number}
revision: A
manual: { document: A1-BM, section: 05-${number}, revision: 3.2, date: 2026-03-01 }
${number === 0 ? '' : `after: [bay-${number - 1}]\n`}takes: 6 h
gather:
  tools:
    - { tool: feeler-gauge, title: Feeler gauge }
    - { tool: caliper, title: Caliper }
    - { tool: torque-wrench, title: Torque wrench, in-date: true }
  materials:
    - { material: adhesive, title: Two-part adhesive, lot: true, in-date: true }
steps:
${stepsOf(number).join('\n')}
`;

/** Texts of procedures with this many steps in all, by file name. */
export const procedureFolder = (steps: number): readonly (readonly [file: string, text: string])[] =>
  Array.from({ length: Math.round(steps / stepsOf(0).length) }, (_, number) => [
    `bay-${number}.yaml`,
    procedureOf(number),
  ]);
