declare module '*/yoga-wasm-base64-esm.js' {
  const loadYoga: (engine: object) => Promise<object>;
  export default loadYoga;
}

/** The bytes of the layout engine, which the build takes out of the package. */
declare module 'yoga-layout.wasm' {
  const bytes: Uint8Array<ArrayBuffer>;
  export default bytes;
}

/** As much of it as is used: the types of Node leave it out. */
declare namespace WebAssembly {
  const Module: new (bytes: Uint8Array) => object;
  const Instance: new (module: object, imports: object) => { readonly exports: object };
}
