import { describe, expect, it } from 'vitest';
import { engineWith, type Engine } from '../support/engine.ts';
import { small } from './fixtures.ts';

const because = { because: 'x' };

const skin = small(`
  - step: close
    title: Rivet the skin
    covers: [bay]
  - step: paint
    title: Paint it
  - step: open
    title: Cut a hole in it
    uncovers: [bay]
  - step: seal
    title: Seal the edge
    reaches: [bay]
`).replaceAll('small', 'skin');

const cable = small(`
  - step: route
    title: Route the cable
    reaches: [bay]
  - step: pull
    title: Pull it tight
    reaches: [bay]
  - step: look-in
    title: Open the panel and look
    uncovers: [bay]
    reaches: [bay]
`).replaceAll('small', 'cable');

const both = (): Engine => {
  const engine = engineWith([skin, cable]);
  engine.says('start', 'skin').taken();
  return engine;
};

const covered = (): { readonly engine: Engine; readonly skin: string; readonly cable: string } => {
  const engine = both();
  const skinJob = engine.job().id;
  engine.says('start', 'cable').taken();
  const cableJob = engine.job().id;
  engine.in(skinJob).says('finish', 'close').taken();
  return { engine, skin: skinJob, cable: cableJob };
};

describe('what is covered', () => {
  it('is not reached by a later step of the same job whose uncovering was left for later', () => {
    const engine = both();
    engine.says('finish', 'close').taken();
    engine.says('finish', 'paint').taken();
    engine.says('skip', 'open', { because: 'no cutter', before: 'first-flight' }).taken();
    expect(engine.says('finish', 'seal').refused('covered').what).toContain('close has covered');
    engine.says('finish', 'open').taken();
    engine.says('finish', 'seal').taken();
  });

  it('is not reached by a later job, until the covering is undone or a step uncovers it', () => {
    const { engine, skin: skinJob, cable: cableJob } = covered();
    expect(engine.in(cableJob).says('begin', 'route').refused('covered').what).toContain(`close of ${skinJob}`);
    engine.in(skinJob).says('undo', 'close', because).taken();
    engine.in(cableJob).says('finish', 'route').taken();
    engine.in(skinJob).says('finish', 'close').taken();
    engine.in(cableJob).says('finish', 'pull').refused('covered');
    engine.in(skinJob).says('finish', 'paint').taken();
    engine.says('finish', 'open').taken();
    engine.in(cableJob).says('finish', 'pull').taken();
  });

  it('is finished by a step begun before, and reached by a step that uncovers it itself', () => {
    const engine = both();
    const skinJob = engine.job().id;
    engine.says('start', 'cable').taken();
    const cableJob = engine.job().id;
    engine.says('begin', 'route').taken();
    engine.in(skinJob).says('finish', 'close').taken();
    engine.in(cableJob).says('finish', 'route').taken();
    engine.says('begin', 'pull').refused('covered');
    engine.says('skip', 'pull', { because: 'x', before: 'first-flight' }).taken();
    engine.says('finish', 'look-in').taken();
    engine.says('finish', 'pull').taken();
  });

  it('given a step that covers the bay in which it works, when one of its rivets is to be set anew, then it goes on', () => {
    const page = small(`
  - step: close
    title: Rivet the skin from inside
    reaches: [bay]
    covers: [bay]
    readings: [{ reading: gap, unit: mm, limits: at most 1 mm, positions: [root, tip], source: invented }]
`);
    const engine = engineWith([page]);
    engine.says('start', 'small').taken();
    for (const position of ['root', 'tip']) engine.says('read', 'gap', { position, value: '0.5' }).taken();
    engine.says('finish', 'close').taken();
    engine.says('dispose', 'gap', { 'as-what': 'rework', reason: 'a loose rivet', position: 'tip' }).taken();
    engine.says('read', 'gap', { position: 'tip', value: '0.4' }).taken();
    engine.says('finish', 'close').taken();
  });

  it('given a bay uncovered at ten, when its covering at nine is entered only at eleven, then it can be reached', () => {
    const panel = small('  - { step: open, title: Open the panel, uncovers: [bay] }\n').replaceAll('small', 'panel');
    const engine = engineWith([skin, panel, cable]);
    engine.at('2026-03-02T08:00:00+01:00').says('start', 'skin').taken();
    const skinJob = engine.job().id;
    engine.says('start', 'panel').taken();
    engine.at('2026-03-02T10:00:00+01:00').says('finish', 'open').taken();
    engine.at('2026-03-02T11:00:00+01:00').in(skinJob);
    engine.says('finish', 'close', {}, '2026-03-02T09:00:00+01:00').taken();
    engine.says('start', 'cable').taken();
    engine.says('begin', 'route').taken();
  });

  it('is overruled by a departure for one step alone', () => {
    const { engine, cable: cableJob } = covered();
    engine.in(cableJob).says('depart', 'covered', { says: 'before', did: 'through the hole', because: 'late' }).taken();
    engine.says('finish', 'route').taken();
    engine.says('finish', 'pull').refused('covered');
  });

  it('is decided at the mix, before the glue is on', () => {
    const wet = small(`
  - step: mix
    title: Mix
    mix: { material: adhesive, ratio: { resin: 100, hardener: 44 }, by: weight, tolerance: 2 % }
  - step: spread
    title: Spread
    reaches: [bay]
    in-pot-life-of: mix
`).replaceAll('small', 'wet');
    const engine = engineWith([skin, wet]);
    engine.says('start', 'skin').taken();
    engine.says('finish', 'close').taken();
    engine.says('start', 'wet').taken();
    engine.says('mix', 'mix', { weights: { resin: '100 g', hardener: '44 g' } }).refused('covered');
  });
});
