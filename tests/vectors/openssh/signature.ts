/**
 * The signature vector of OpenSSH itself: openssh-portable, regress/unittests/sshsig/testdata (ed25519.pub, ed25519.sig,
 * namespace, signed-data).
 */
export const namespace = 'unittest';
export const message = 'This is a test, this is only a test';
export const key = 'ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIIlizSIN3DQV78VPNjVvvwjgf+P5HqbPYCYu3BOMdjAE';
/** Printed by `ssh-keygen -l`. */
export const fingerprint = 'SHA256:ZxTZQ/K7JZpz0mHqWqdmYCUcq3MAtnu9TYA66TCBkxM';
export const signature = `-----BEGIN SSH SIGNATURE-----
U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAgiWLNIg3cNBXvxU82NW+/COB/4/
keps9gJi7cE4x2MAQAAAAIdW5pdHRlc3QAAAAAAAAABnNoYTUxMgAAAFMAAAALc3NoLWVk
MjU1MTkAAABAihQsbUzuNEFflk5Tw1+H9aLS7tZQk0RG8KW1DtOmDYYnWe3D3UKiG3fcJa
DNg4vBWp1j1gLRiBMOF+gwYNegDg==
-----END SSH SIGNATURE-----
`;
