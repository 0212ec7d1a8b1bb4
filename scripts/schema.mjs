// Writes the JSON Schema of procedure files to where the modelines of procedures/*.yaml look for it. Build first.
import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const at = (path) => fileURLToPath(new URL(`../${path}`, import.meta.url));
const text = execFileSync(process.execPath, [at('dist/dryfit.js'), 'schema']);
mkdirSync(at('procedures/schema'), { recursive: true });
writeFileSync(at('procedures/schema/procedure.schema.json'), text);
