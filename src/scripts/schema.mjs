// Writes the JSON Schema of procedure files to procedures/schema, and adds the line that names it to each procedure without one.
// Needs the built program.
import { execFileSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const at = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const text = execFileSync(process.execPath, [at('dist/dryfit.js'), 'schema']);
mkdirSync(at('procedures/schema'), { recursive: true });
writeFileSync(at('procedures/schema/procedure.schema.json'), text);

const modeline = '# yaml-language-server: $schema=schema/procedure.schema.json\n';
for (const name of readdirSync(at('procedures')).filter((file) => file.endsWith('.yaml'))) {
  const path = at(`procedures/${name}`);
  const procedure = readFileSync(path, 'utf8');
  if (!procedure.startsWith(modeline)) writeFileSync(path, modeline + procedure);
}
