import { describe, expect, it } from 'vitest';
import { fixture, machine } from '../support/command.ts';

const script = `script: lists
build: { people: [{ person: first, powers: [builder] }], gates: [hull-close, first-start], tools: [{ tool: TW-2, kind: torque-wrench, in-date-until: 2027-01-31 }] }
procedures: ${fixture('procedures')}
entries:
  - { at: 2026-03-02T09:00:00+01:00, as: first, start: small-plate, each: left }
  - { loose: elbow, count: 2, left: finger tight, because: direction not known, before: first-start }
  - { loose: plate, count: 1, left: off, because: still painting, before: hull-close }
  - { tool: TW-2, found: dropped }
`;

describe('the lists of the build', () => {
  it('list loose items in the order of their gates, and tools with what was found of them', async () => {
    const own = machine();
    expect((await own.run(['rehearse', own.file('s.yaml', script), '--state', own.state])).code).toBe(0);
    const loose = await own.run(['loose']);
    expect(loose).toMatchObject({ code: 0, err: '' });
    expect(loose.out).toMatch(
      /before hull-close\n {2}T-2 plate: 1 off .*\nbefore first-start\n {2}T-1 elbow: 2 finger tight/,
    );
    expect((await own.run(['loose', '--json'])).json()).toMatchObject({ loose: [{ tag: 'T-2' }, { tag: 'T-1' }] });
    const tools = await own.run(['tool']);
    expect(tools.out).toBe('TW-2  torque-wrench; in date until 2027-01-31; found dropped 2026-03-02 09:00 +01:00\n');
    expect((await own.run(['tool', '--json'])).json()).toMatchObject({
      tools: [{ tool: 'TW-2', found: [{ what: 'dropped' }] }],
    });
    expect((await own.run(['tool', 'TW-2'])).code).toBe(2);
    expect((await own.run(['loose', 'x'])).code).toBe(2);
  });
});
