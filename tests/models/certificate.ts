import { generateKeyPairSync, sign } from 'node:crypto';

/** A value in DER (X.690): tag, length, contents. */
function der(tag: number, ...parts: readonly (Buffer | readonly number[])[]): Buffer {
  const contents = Buffer.concat(parts.map((part) => Buffer.from(part)));
  const { length } = contents;
  const size =
    length < 128 ? [length] : length < 256 ? [0x81, length] : [0x82, length >> 8, length & 255];
  return Buffer.concat([Buffer.from([tag, ...size]), contents]);
}

const sequence = (...parts: readonly Buffer[]): Buffer => der(0x30, ...parts);
/** ecdsa-with-SHA256, 1.2.840.10045.4.3.2 (RFC 5758). */
const algorithm = sequence(der(0x06, [0x2a, 0x86, 0x48, 0xce, 0x3d, 0x04, 0x03, 0x02]));
/** commonName, 2.5.4.3. */
const name = sequence(
  der(0x31, sequence(der(0x06, [0x55, 0x04, 0x03]), der(0x0c, Buffer.from('test')))),
);
const time = (text: string): Buffer => der(0x17, Buffer.from(text));

/**
 * A key and a certificate of its own (X.509, RFC 5280) for a server that stands in for another on
 * this machine; the browser is told to take any.
 */
export function selfSigned(): { readonly key: string; readonly cert: string } {
  const { publicKey, privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const body = sequence(
    der(0xa0, der(0x02, [2])),
    der(0x02, [1]),
    algorithm,
    name,
    sequence(time('200101000000Z'), time('491231235959Z')),
    name,
    publicKey.export({ type: 'spki', format: 'der' }),
  );
  const signature = der(0x03, [0], sign('sha256', body, privateKey));
  const whole = sequence(body, algorithm, signature).toString('base64');
  return {
    key: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
    cert: `-----BEGIN CERTIFICATE-----\n${whole.replace(/.{64}/g, '$&\n')}\n-----END CERTIFICATE-----\n`,
  };
}
