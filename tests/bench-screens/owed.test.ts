import { describe, expect, test } from 'vitest';
import { fakeBench, type Fake } from './fake.ts';

/* What waits for a person's decision stands in the list of jobs: contradictions between machines, bulletins. */

const block = `procedure: block
title: Fit a block
revision: A
steps:
  - { step: measure, title: Measure the gap }
  - { step: trim, title: Trim the edge }
`;
const bulletin = `procedure: block-pins
title: Look at the pins
revision: A
answers: { bulletin: SB-07, of: block }
steps:
  - { step: look, title: Look at them }
`;

const begun = (procedures: readonly string[] = [block], size = { columns: 80, rows: 24 }): Fake => {
  const fake = fakeBench({ procedures, size });
  return fake.press(...(procedures.length > 1 ? ['down', 'down'] : []), 'enter', '1', 'enter', 'enter');
};
const jobOf = (fake: Fake): string => fake.build().jobOrder[0] ?? '';

/** Both machines have finished the first step. */
const contradicted = (size?: { columns: number; rows: number }): Fake => {
  const fake = fakeBench({ procedures: [block], ...(size ? { size } : {}) }).press('enter', '1', 'enter');
  fake.press('enter');
  return fake.elsewhere('ines', 'finish', { step: 'measure' }, jobOf(fake)).press('escape');
};

describe('a contradiction', () => {
  test('is the first row of the list, in word and mark, and can be settled from there', () => {
    const fake = contradicted({ columns: 80, rows: 24 });
    expect(fake.build().contradictions).toHaveLength(1);
    expect(fake.text()).toMatch(/1 × contradiction: finish measure by ines {2}settle it/);
    expect(fake.text()).toMatch(/2 × Fit a block/);
    expect(fake.text()).toContain('contradicts what was done elsewhere');
    fake.press('1');
    expect(fake.text()).toContain('Settle a contradiction');
    fake.press('2', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({ verb: 'settle', data: { keep: 'no' } });
    expect(fake.text()).not.toContain('contradiction:');
    expect(fake.text()).toContain('1 Fit a block');
  });

  test('is in the bench view too, and in a plain terminal', () => {
    expect(contradicted({ columns: 48, rows: 13 }).text()).toMatch(/1 × contradiction: finish measure by/);
    const plain = fakeBench({ procedures: [block], plainMarks: true }).press('enter', '1', 'enter', 'enter');
    plain.elsewhere('ines', 'finish', { step: 'measure' }, jobOf(plain)).press('escape');
    expect(plain.text()).toMatch(/1 x contradiction: finish measure by/);
  });

  test('refuses what depends on it, and the refusal offers to settle it', () => {
    const fake = contradicted().press('2', 'enter', 'enter');
    fake.press('enter');
    expect(fake.text()).toMatch(/refused/);
    expect(fake.text()).toContain('contradiction');
    fake.press('1');
    expect(fake.text()).toContain('Settle a contradiction');
  });
});

describe('a bulletin', () => {
  test('that is not decided is listed under its jobs, and can be decided there', () => {
    const fake = begun([block, bulletin]);
    const job = jobOf(fake);
    fake.press('escape', 'escape');
    expect(fake.text()).toContain(`! bulletin SB-07: ${job}  not decided`);
    const row = fake
      .text()
      .split('\n')
      .find((line) => line.includes('bulletin SB-07'));
    fake.press(/(\d) !/.exec(row ?? '')?.[1] ?? '');
    expect(fake.text()).toContain('Bulletin SB-07 of block');
    fake.press('2', 'enter', 'pins of the second series', 'enter');
    expect(fake.acts.at(-1)).toMatchObject({
      verb: 'resolve',
      job,
      data: { change: 'SB-07', 'as-what': 'not-applicable', reason: 'pins of the second series' },
    });
  });

  test('about a procedure that nobody has begun opens the procedure that answers it', () => {
    const fake = fakeBench({ procedures: [block, bulletin], size: { columns: 80, rows: 24 } });
    expect(fake.text()).toContain('! bulletin SB-07: block, not begun  block-pins answers it');
    fake.press('1');
    expect(fake.text()).toContain('Look at the pins');
  });
});
