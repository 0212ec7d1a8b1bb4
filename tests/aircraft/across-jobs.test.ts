import { describe, expect, it } from 'vitest';
import { jobsOf } from '../../src/aircraft/state.ts';
import { statusOf } from '../../src/aircraft/status.ts';
import { msOf } from '../../src/job/cure.ts';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from '../job/fixtures.ts';

const travel = `
procedure: travel
title: Aileron travel
revision: A
each: [left, right]
steps:
  - step: up
    title: Up
    back-to: up
    readings: [{ reading: angle-up, unit: °, limits: 22 ± 1 °, twin: at most 1 °, source: invented }]
`;

describe('twins', () => {
  const bothSides = (left: string, right: string) => {
    const engine = engineWith([travel]);
    engine.says('start', 'travel').wrong('field-missing');
    engine.says('start', 'travel', { each: 'middle' }).wrong('unknown-id');
    engine.says('start', 'travel', { each: 'left' }).taken();
    expect(engine.says('read', 'angle-up', { value: left }).taken().verdict).toBe('within, twin open');
    engine.says('finish', 'up').taken();
    const [leftJob = ''] = engine.state().jobOrder;
    engine.says('start', 'travel', { each: 'right' }).taken();
    return { engine, leftJob, verdict: engine.says('read', 'angle-up', { value: right }).taken().verdict };
  };

  it('are open until the last side exists, and stop nothing until then', () => {
    const { engine, verdict } = bothSides('21.5°', '22.5°');
    expect(verdict).toBe('within');
    engine.says('finish', 'up').taken();
    engine.says('complete').taken();
  });

  it('keep the last side open until the spread is within its limits', () => {
    const { engine, verdict } = bothSides('21.4°', '22.5°');
    expect(verdict).toBe('within, twin open');
    engine.says('finish', 'up').refused('twin-open');
    engine.says('read', 'angle-up', { value: '22.4°', reason: 'stop filed' }).taken();
    engine.says('finish', 'up').taken();
  });

  it('are open again after a later change on any side', () => {
    const { engine } = bothSides('21.5°', '22.5°');
    engine.says('finish', 'up').taken();
    expect(engine.says('correct', 'angle-up', { value: '22.6°', reason: 'misread' }).taken().verdict).toBe(
      'within, twin open',
    );
    engine.says('finish', 'up').refused('twin-open');
    engine.says('complete').refused('unfinished');
  });
});

describe('twins, when another value or limit comes to count', () => {
  const up = (engine: Engine, each: string, value?: string): string => {
    engine.says('start', 'travel', { each }).taken();
    if (value !== undefined) engine.says('read', 'angle-up', { value }).taken();
    if (value !== undefined) engine.says('finish', 'up').taken();
    return engine.job().id;
  };

  it('given a complete side, when the later job of the other is withdrawn and its earlier value differs too much, then both are open', () => {
    const engine = engineWith([travel]);
    const first = up(engine, 'left', '21.4°');
    const second = up(engine, 'left');
    const right = up(engine, 'right', '22.5°');
    engine.says('complete').taken();
    engine.in(second).says('withdraw', undefined, { because: 'begun twice' }).taken();
    for (const side of [first, right]) {
      expect(engine.job(side).steps['up']?.reopened.at(-1)?.because).toContain('difference 1.1 °');
      engine.in(side).says('finish', 'up').refused('twin-open');
    }
    expect(engine.job(right).reopened).toBeDefined();
  });

  it('given a page that lets the sides differ less, when a side is moved to it, then it is not completed with a larger difference', () => {
    const tighter = travel.replace('revision: A', 'revision: B').replace('at most 1 °', 'at most 0.5 °');
    const engine = engineWith([travel, tighter]);
    up(engine, 'left', '21.5°');
    up(engine, 'right', '22.2°');
    engine.says('move', 'B').taken();
    engine.says('complete').refused('twin-open');
  });
});

describe('gates and loose items', () => {
  const elbow = small(`
  - step: fit
    title: Fit the elbow
    loose: [{ item: elbow-fitting, count: 2, left: finger tight, because: direction not known yet, before: first-start }]
`).replaceAll('small', 'elbow');
  const start = `
procedure: first-run
title: First run
revision: A
steps:
  - step: tighten-elbow
    title: Tighten
    closes: [elbow-fitting]
  - step: run
    title: Run
    gate: first-start
`;
  const item = { count: '2', left: 'finger tight', because: 'direction not known yet', before: 'first-start' };

  it('a loose item needs its own entry, blocks its gate and later ones, and is closed by count from another job', () => {
    const engine = engineWith([elbow, start]);
    engine.says('start', 'elbow').taken();
    engine.says('finish', 'fit').refused('part-missing');
    engine.says('loose', 'elbow-fitting', { ...item, before: 'first-flicht' }).wrong('unknown-id');
    engine.says('loose', 'elbow-fitting', item).taken();
    engine.says('finish', 'fit').taken();
    engine.says('complete').taken();
    expect(statusOf(engine.state(), 0).loose).toMatchObject([{ tag: 'T-1', open: 2, before: 'first-start' }]);
    engine.says('start', 'first-run').taken();
    engine.says('finish', 'tighten-elbow').refused('part-missing');
    engine.says('close', 'T-1', { count: 3 }).wrong('value-unreadable');
    engine.says('close', 'T-1', { count: 1 }).taken();
    engine.says('finish', 'tighten-elbow').refused('part-missing');
    engine.says('close', 'elbow-fitting', { count: 1 }).taken();
    engine.says('finish', 'tighten-elbow').taken();
    engine.says('finish', 'run').taken();
    const owner = jobsOf(engine.state()).find(({ procedure }) => procedure === 'elbow');
    const resting = owner?.loose.flatMap(({ closings }) => closings.map(({ entry }) => entry)) ?? [];
    expect(resting).toHaveLength(2);
    expect(owner?.log.map(({ entry }) => entry)).toEqual(expect.arrayContaining(resting));
  });

  it('an item due before an earlier gate blocks a later one, unless a departure names it', () => {
    const engine = engineWith([elbow, start.replace('closes: [elbow-fitting]', 'critical: true')]);
    engine.says('start', 'elbow').taken();
    engine.says('loose', 'elbow-fitting', { ...item, before: 'hull-close' }).taken();
    engine.says('start', 'first-run').taken();
    engine.says('finish', 'tighten-elbow').taken();
    engine.says('finish', 'run').refused('gate-open');
    engine.says('depart', 'gate-open', { says: 'all closed', did: 'one open', because: 'no fuel yet' }).taken();
    engine.says('finish', 'run').taken();
  });
});

describe('procedures in their order', () => {
  const coupons = small(`
  - step: cut
    title: Cut
`).replaceAll('small', 'coupons');
  const after = small(
    `
  - step: one
    title: One
`,
    'after: [{ procedure: coupons, not-older: 6 months }]\n',
  );

  it('a start waits until the earlier procedure is complete, and refuses one completed too long ago', () => {
    const engine = engineWith([coupons, after]);
    engine.says('start', 'small').refused('earlier-procedure');
    engine.says('start', 'coupons').taken();
    engine.says('finish', 'cut').taken();
    engine.says('start', 'small').refused('earlier-procedure');
    engine.says('complete').taken();
    engine.says('start', 'small').taken();
    engine.at('2026-09-02T09:00:01+01:00').says('start', 'small').refused('earlier-procedure');
  });

  it('given an earlier procedure that was complete, when it is opened again, then the next waits for it anew', () => {
    const engine = engineWith([coupons, after]);
    engine.says('start', 'coupons').taken();
    engine.says('finish', 'cut').taken();
    engine.says('complete').taken();
    engine.says('undo', 'cut', { because: 'wrong grain' }).taken();
    engine.says('start', 'small').refused('earlier-procedure');
    engine.says('finish', 'cut').taken();
    engine.says('complete').taken();
    engine.says('start', 'small').taken();
  });

  it('work done before dryfit counts, by its date', () => {
    const engine = engineWith([after, coupons], {
      beforeDryfit: [{ procedure: 'coupons', shown: 'paper log p. 12', date: '2025-12-01' }],
    });
    engine.says('start', 'small').taken();
    engine.at('2026-07-02T09:00:00+01:00').says('start', 'small').refused('earlier-procedure');
  });
});

describe('features and areas across jobs', () => {
  const proof = small(`
  - step: dry
    title: Dry
    proves: [keel-line]
`).replaceAll('small', 'proof');
  const close = small(`
  - step: close
    title: Close
    permanent: true
    sets: [keel-line]
    covers: [bay-3]
`).replaceAll('small', 'close');
  const fairlead = small(`
  - step: move
    title: Move the fairlead
    reaches: [bay-3]
`).replaceAll('small', 'fairlead');

  it('a proof may be in another job, and an area that another open job must reach is still needed', () => {
    const engine = engineWith([proof, close, fairlead]);
    engine.says('start', 'close').taken();
    engine.says('begin', 'close').refused('proof-missing');
    const [closing = ''] = engine.state().jobOrder;
    engine.says('start', 'proof').taken();
    engine.says('finish', 'dry').taken();
    engine.says('start', 'fairlead').taken();
    expect(engine.state().jobOrder).toContain(closing);
    engine.says('start', 'close').taken();
    engine.says('finish', 'close').refused('still-needed');
  });
});

describe('tools', () => {
  const torque = `
procedure: bolts
title: Bolts
revision: A
gather: { tools: [{ tool: torque-wrench, in-date: true }] }
steps:
  - step: pull
    title: Pull
    readings: [{ reading: drag, unit: in·lb, tool: torque-wrench, source: invented }]
  - step: torque
    title: Torque
    tighten: { fasteners: 2, order: [2, 1], torque: 160 to 190 in·lb, drag: measured, adapter: 50 mm, wrench: 305 mm, tool: torque-wrench, mark: true, source: AC 43.13-1B table 7-1 }
`;
  const tools = [
    { tool: 'TW-1', kind: 'torque-wrench', 'in-date-until': '2026-03-01' },
    { tool: 'TW-2', kind: 'torque-wrench', 'in-date-until': '2027-03-01' },
    { tool: 'FG-1', kind: 'feeler-gauge' },
  ];

  it('refuses a tool that is out of date or was dropped, until another is used or the tool is checked', () => {
    const engine = engineWith([torque], { tools });
    engine.says('start', 'bolts').taken();
    engine.says('read', 'drag', { value: '12' }).refused('tool-out-of-date');
    engine.says('use', 'torque-wrench', { tool: 'TW-9' }).wrong('unknown-id');
    engine.says('use', 'torque-wrench', { tool: 'FG-1' }).wrong('value-unreadable');
    engine.says('use', 'torque-wrench', { tool: 'TW-1' }).taken();
    engine.says('read', 'drag', { value: '12' }).refused('tool-out-of-date');
    engine.says('use', 'torque-wrench', { tool: 'TW-2' }).taken();
    engine.says('tool', 'TW-2', { found: 'dropped' }).taken();
    engine.says('read', 'drag', { value: '12' }).refused('tool-out-of-date');
    engine.at('+1h').says('tool', 'TW-2', { found: 'checked' }).taken();
    engine.says('read', 'drag', { value: '12' }).taken();
  });

  it('given a value, when its tool is dropped and then found wrong, then the value is in doubt, and not where it is found good', () => {
    for (const [found, says] of [
      ['wrong', 'nonconformance-open'],
      ['checked', 'taken'],
    ] as const) {
      const engine = engineWith([torque.replace(/  - step: torque[^]*/, '')], { tools });
      engine.says('start', 'bolts').taken();
      engine.says('use', 'torque-wrench', { tool: 'TW-2' }).taken();
      engine.says('read', 'drag', { value: '12' }).taken();
      engine.says('finish', 'pull').taken();
      engine.at('+1h').says('tool', 'TW-2', { found: 'dropped' }).taken();
      engine.at('+1h').says('tool', 'TW-2', { found }).taken();
      expect(engine.says('complete').fault()?.code ?? 'taken').toBe(says);
    }
  });

  it('judges the torque that the wrench shows, in the order of the procedure, with a mark for each fastener', () => {
    const engine = engineWith([torque], { tools });
    engine.says('start', 'bolts').taken();
    engine.says('use', 'torque-wrench', { tool: 'TW-2' }).taken();
    engine.says('read', 'drag', { value: '12' }).taken();
    engine.says('finish', 'pull').taken();
    engine.says('tighten', 'torque', { fastener: 1, torque: '160', drag: '16' }).refused('out-of-order');
    engine.says('tighten', 'torque', { fastener: 2, torque: '160' }).wrong('field-missing');
    engine.says('tighten', 'torque', { fastener: 2, 'finger-tight': '3 turns' }).wrong('field-unknown');
    // 160 × 305/355 + 16 = 153.46 in·lb is the least that the wrench must show (AC 43.13-1B table 7-1; TM 1-1500-204-23-9 fig 8-16)
    expect(engine.says('tighten', 'torque', { fastener: 2, torque: '153', drag: '16' }).taken().verdict).toBe(
      'outside',
    );
    const taken = engine
      .says('tighten', 'torque', { fastener: 2, torque: '154', drag: '16', mark: 'true', reason: 'pulled short' })
      .taken();
    expect(taken.verdict).toBe('within');
    expect(taken.told[0]).toContain('at the fastener 160.6');
    engine.says('tighten', 'torque', { fastener: 1, torque: '170', drag: '16' }).taken();
    engine.says('finish', 'torque').refused('part-missing');
    engine.says('tighten', 'torque', { fastener: 1, mark: 'true' }).taken();
    engine.says('finish', 'torque').taken();
    engine.says('tool', 'TW-2', { found: 'wrong' }).taken();
    engine.says('complete').refused('nonconformance-open');
    expect(statusOf(engine.state(), msOf('2026-03-02T12:00:00+01:00')).jobs[0]?.nonconformances).toHaveLength(4);
  });
});

describe('the clock', () => {
  it('refuses rules on time after a stamp before the last line, until the true time is entered', () => {
    const yaml = small(`
  - step: one
    title: One
    wait: 30 min
  - step: two
    title: Two
`);
    const engine = engineWith([yaml]);
    engine.says('start', 'small').taken();
    engine.at('+1h').says('remark', 'on').taken();
    engine.at('2026-03-02T08:00:00+01:00').says('finish', 'one').refused('wait');
    engine.says('remark', 'the clock was wrong').taken();
    engine.at('2026-03-02T11:00:00+01:00').says('finish', 'one').refused('clock');
    engine.says('clock', '2026-03-02T11:00:00+01:00').taken();
    engine.says('finish', 'one').taken();
  });
});
