import type { Story } from './story.ts';

/**
 * Lost keys, replaced in three ways: with a recovery key, with the word of another inspector, and by a person who follows another. At the
 * end the builder's key is replaced on one machine while another machine still signs with the old one.
 */
const act: Story['act'] = async ({ machine, pull }) => {
  const one = machine('one');
  const two = machine('two');
  for (const bench of [one, two]) bench.pages('tests/states/pages');
  for (const person of ['tobias', 'tobias-new', 'vera', 'quillon', 'quillon-new']) one.own.key(person);
  await one.says(`
    person add ines --name 'Ines Varrow'
    person add tobias --power inspector --key tobias
    person add vera --power inspector --key vera
    person add quillon --power designer --key quillon
    +1min start keel-block --as ines
    do keel-block read gap value='0.1 mm' --as ines
    do keel-block finish measure --as ines
  `);
  const passphrase = 'far away\n';
  await one.says('key recovery kept-away --as ines', passphrase);
  one.lose('ines');
  await one.says("(2) do keel-block remark 'who signs this' --as ines");
  await one.says('+1h key replace ines --recovery kept-away', passphrase);
  await one.says(`
    do keel-block finish trim --as ines
    (3) key replace tobias --new tobias-new
    key replace tobias --new tobias-new --as vera --key vera
    (2) do keel-block remark 'signed with the old key' --as tobias --key tobias
    do keel-block remark 'signed with the new key' --as tobias --key tobias-new
    person add quillon-2 --follows quillon --key quillon-new --as ines
    do keel-block remark 'under another id' --as quillon-2 --key quillon-new
    do keel-block lot adhesive number=L-204 use-by=2027-01-31 --as ines
    do keel-block mix mix weights.resin='60 g' weights.hardener='26.4 g' sample=S-1 --as ines
    do keel-block finish mix --as ines
    do keel-block finish close --as ines
    do keel-block release inspect remark='no gap' --as tobias --key tobias-new
    do keel-block finish inspect --as ines
    do keel-block complete --as ines
    start strut-look --as ines
  `);
  two.copyState(one);
  two.takeKey(one, 'ines');
  await one.says('+1d key replace ines --as ines');
  await two.says(`
    2026-03-04T09:00:00+01:00 do strut-look read crack value='no crack' --as ines --key ines.key
    do - temperature '19 °C' --as ines --key ines.key
  `);
  pull(one, two);
  pull(two, one);
  await one.says(`
    2026-03-05T09:00:00+01:00 key
    (1) verify
    (3) do strut-look finish look --as ines
  `);
};

export const keysStory: Story = {
  name: 'keys',
  now: '2026-03-20T12:00:00+01:00',
  pages: 'tests/states/pages/new',
  isWide: true,
  act,
};
