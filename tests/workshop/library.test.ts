import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { readProcedure } from '../../src/procedure/load.ts';
import { sha256Hex } from '../../src/proof/hash.ts';
import { realDisk } from '../../src/store/disk.ts';
import { textLibrary } from '../../src/workshop/journal/library.ts';
import { machine, projectFolder } from '../support/command.ts';

it('reads a procedure text of a state whose keys have their former names', () => {
  const { state } = machine();
  const present = readFileSync(join(projectFolder, 'procedures/fuel-flow.yaml'), 'utf8');
  const former = present.replace('\ngather:', '\nneeds:').replaceAll(' from: {', ' with: {');
  const sha256 = sha256Hex(Buffer.from(former));
  mkdirSync(join(state, 'procedures'), { recursive: true });
  writeFileSync(join(state, 'procedures', `${sha256}.yaml`), former);
  expect(textLibrary(realDisk, state).procedure(sha256)).toEqual({
    ok: true,
    value: readProcedure(present, 'fuel-flow.yaml').procedure,
  });
});
