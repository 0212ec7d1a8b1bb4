// Prints the published values that the tests check the calculations against, by source.
import { build } from 'esbuild';

const bundled = await build({
  entryPoints: ['tests/trade/published/all.ts'],
  bundle: true,
  format: 'esm',
  platform: 'node',
  write: false,
});
const text = bundled.outputFiles[0]?.text ?? '';
const { published } = await import(`data:text/javascript;base64,${Buffer.from(text).toString('base64')}`);

const bySource = new Map();
for (const row of published) bySource.set(row.source, [...(bySource.get(row.source) ?? []), row]);

process.stdout.on('error', () => process.exit(0)); // the reader closed the pipe
process.stdout.write(
  'A published input and output; B published rule, output computed; C from memory or computed only\n\n',
);
for (const [source, rows] of bySource) {
  process.stdout.write(`${rows[0].strength}  ${source}\n`);
  for (const row of rows) {
    const inputs = Object.entries(row.inputs).map(([name, value]) => `${name}=${value}`);
    const values = Object.entries(row.expect).map(
      ([name, [value, within]]) => `${name} ${value}${within === 0 ? '' : ` ± ${within}`}`,
    );
    process.stdout.write(`     ${row.calculation} ${inputs.join(' ')}: ${values.join(', ')}\n`);
  }
}
process.stdout.write(`\n${published.length} rows from ${bySource.size} sources\n`);
