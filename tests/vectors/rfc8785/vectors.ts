/**
 * RFC 8785, JSON Canonicalization Scheme: the author's reference set (arrays, structures, values, unicode, weird) and
 * the numbers of Appendix B, by their IEEE 754 bits.
 */
export const documents: readonly { readonly name: string; readonly input: string; readonly output: string }[] = [
  { name: 'arrays', input: '[56,{"d":true,"10":null,"1":[]}]', output: '[56,{"1":[],"10":null,"d":true}]' },
  {
    name: 'structures',
    input: '{"1":{"f":{"f":"hi","F":5},"\\n":56.0},"10":{},"":"empty","a":{},"111":[{"e":"yes","E":"no"}],"A":{}}',
    output: '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}',
  },
  {
    name: 'values',
    input:
      '{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/","literals":[null,true,false]}',
    output:
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
  },
  { name: 'unicode', input: '{"Unnormalized Unicode":"A\\u030a"}', output: '{"Unnormalized Unicode":"A\u030a"}' },
];

/** The output of `values`, as bytes. */
export const valuesHex =
  '7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333333333332e333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac245c75303030665c6e4127425c225c5c5c5c5c222f227d';

/** The order of the keys of `weird`: by UTF-16 code units, so that a key beyond U+FFFF stands before U+FB33. */
export const weirdOrder = ['\n', '\r', '1', '</script>', '\u0080', 'ö', '€', '\u{1f602}', '\ufb33'];

export const numbers: readonly (readonly [bits: string, text: string])[] = [
  ['0000000000000000', '0'],
  ['8000000000000000', '0'],
  ['0000000000000001', '5e-324'],
  ['4340000000000000', '9007199254740992'],
  ['444b1ae4d6e2ef4f', '999999999999999900000'],
  ['444b1ae4d6e2ef50', '1e+21'],
  ['44b52d02c7e14af6', '1e+23'],
  ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
  ['3eb0c6f7a0b5ed8d', '0.000001'],
  ['41b3de4355555553', '333333333.3333332'],
  ['41b3de4355555556', '333333333.3333334'],
  ['becbf647612f3696', '-0.0000033333333333333333'],
  ['43143ff3c1cb0959', '1424953923781206.2'],
];

/** Appendix B: these have no JSON form, and must be refused. */
export const refusedNumbers = ['7fffffffffffffff', '7ff0000000000000', 'fff0000000000000'];
