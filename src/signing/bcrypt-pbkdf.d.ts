declare module 'bcrypt-pbkdf' {
  const bcrypt: {
    /** Fills `key`. Gives 0, or -1 where an argument is out of range. Lengths are in bytes. */
    pbkdf(
      passphrase: Uint8Array,
      passphraseLength: number,
      salt: Uint8Array,
      saltLength: number,
      key: Uint8Array,
      keyLength: number,
      rounds: number,
    ): number;
  };
  export default bcrypt;
}
