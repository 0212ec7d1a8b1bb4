import type { Story } from './story.ts';

/**
 * Two builders at two machines, who do not see each other's entries for a while. Their journals are merged by union three times. Two
 * contradictions are settled, one each way, and the last one stays open.
 */
const act: Story['act'] = async ({ machine, pull }) => {
  const one = machine('one');
  const two = machine('two');
  for (const bench of [one, two]) {
    bench.pages('tests/states/pages');
    for (const person of ['marit', 'tobias']) bench.own.key(person);
  }
  const both = (): void => {
    pull(one, two);
    pull(two, one);
  };
  await one.says(`
    person add ines --name 'Ines Varrow' --gates hull-close,cover,first-start,first-water,first-flight
    person add marit --power builder --key marit
    person add tobias --power inspector --key tobias
    +1min start keel-block
    do keel-block read gap value='0.1 mm' --as ines
  `);
  two.copyState(one);

  // Both finish the same step, each starts another job, and one material is taken from two lots.
  await one.says(`
    +1min do keel-block finish measure --as ines
    do - temperature '19 °C' --as ines
    start strut-look --as ines
    do strut-look read crack value='no crack' --as ines
    do keel-block lot adhesive number=L-204 use-by=2027-01-31 --as ines
  `);
  await two.says(`
    2026-03-02T09:05:00+01:00 do keel-block remark 'dry and clean' --as marit --key marit
    do keel-block finish measure --as marit --key marit
  `);
  const finishes = two.entry();
  await two.says(`
    start float-bracket --each left --as marit --key marit
    do - temperature '20 °C' place=loft --as marit --key marit
  `);
  both();
  await one.says(`
    2026-03-02T09:20:00+01:00 status
    (3) do keel-block finish trim --as ines
    (1) verify
    do - settle ${finishes} keep=no --as ines
    do keel-block finish trim --as ines
  `);
  both();
  await one.says('2026-03-02T09:40:00+01:00 do strut-look finish look --as ines');
  await two.says('2026-03-02T09:40:00+01:00 do strut-look finish look --as marit --key marit');
  const looks = two.entry();
  both();
  await two.says(`2026-03-02T09:50:00+01:00 do - settle ${looks} keep=yes --as marit --key marit`);
  both();

  // One goes on with work that the other takes apart.
  await one.says(`
    2026-03-02T10:00:00+01:00 do keel-block mix mix weights.resin='60 g' weights.hardener='26.4 g' sample=S-1 --as ines
    do keel-block finish mix --as ines
    +5min do keel-block finish close --as ines
  `);
  await two.says(`
    2026-03-02T10:01:00+01:00 do keel-block correct gap value='0.12 mm' reason='read from the wrong side' --as marit --key marit
    do keel-block undo trim because='edge torn' --as marit --key marit
    do float-bracket-left begin measure --as marit --key marit
  `);
  both();
  await one.says('2026-03-02T10:20:00+01:00 status');
  await two.says('2026-03-02T10:20:00+01:00 status');
};

export const mergedStory: Story = {
  name: 'merged',
  now: '2026-03-20T12:00:00+01:00',
  pages: 'tests/states/pages/new',
  isWide: true,
  act,
};
