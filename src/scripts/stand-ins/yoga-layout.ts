import loadYoga from '../../../node_modules/yoga-layout/dist/binaries/yoga-wasm-base64-esm.js';
import wrapAssembly from '../../../node_modules/yoga-layout/dist/src/wrapAssembly.js';

/** The engine itself, which the source of its loader holds in base64. The bundler breaks long lines, within a text as well. */
const [, base64] = /;base64,([\w+/]+=*)/.exec(String(loadYoga).replaceAll('\\\n', '')) ?? [];
if (base64 === undefined) throw new Error('yoga-layout no longer holds its engine in base64');
const bytes = Buffer.from(base64, 'base64');

/** The layout engine, made at once. */
const engine = {
  instantiateWasm(imports: object, done: (instance: object) => void): object {
    const instance = new WebAssembly.Instance(new WebAssembly.Module(bytes), imports);
    done(instance);
    return instance.exports;
  },
};
void loadYoga(engine);

/** Replaces yoga-layout, which awaits its engine while it is loaded: a script with a code cache cannot await there. */
export default wrapAssembly(engine);
