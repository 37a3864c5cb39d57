import { gzipSync } from 'node:zlib';

/**
 * A model for Vosk made for the tests: one speech sound, one way through three words. A browser takes
 * it through the very code that unpacks and loads a real one, and hears the three words in any sound.
 */
const words = ['<eps>', 'right', 'ankle', 'absent'];

/** Kaldi's transition model and network, in Kaldi's text form. */
const acousticModel = `<TransitionModel>
<Topology>
<TopologyEntry>
<ForPhones>
1
</ForPhones>
<State> 0 <PdfClass> 0 <Transition> 0 0.5 <Transition> 1 0.5 </State>
<State> 1 </State>
</TopologyEntry>
</Topology>
<Triples> 1
1 0 0
</Triples>
<LogProbs>
 [ 0 -0.6931472 -0.6931472 ]
</LogProbs>
</TransitionModel>
<Nnet3>

input-node name=input dim=13
component-node name=sound component=sound input=input
output-node name=output input=sound objective=linear

<NumComponents> 1
<ComponentName> sound <FixedAffineComponent> <LinearParams>  [
  ${'0 '.repeat(13)}]
<BiasParams>  [ 0 ]
</FixedAffineComponent> </Nnet3> <LeftContext> 0 <RightContext> 0 <Priors>  [ ]
`;

/** Steps of a graph: to the next state by leaving the sound (2), or staying in it (1). */
const steps = words.slice(1).map((_word, i) => [
  { sound: 1, word: 0, to: i },
  { sound: 2, word: i + 1, to: i + 1 },
]);

/** A transducer in the file form of OpenFst ("vector", version 2). */
function graph(): Buffer {
  const text = (content: string): Buffer => {
    const bytes = Buffer.alloc(4 + content.length);
    bytes.writeInt32LE(content.length);
    bytes.write(content, 4);
    return bytes;
  };
  const int32 = (value: number): Buffer => {
    const bytes = Buffer.alloc(4);
    bytes.writeInt32LE(value);
    return bytes;
  };
  const int64 = (value: number): Buffer => {
    const bytes = Buffer.alloc(8);
    bytes.writeBigInt64LE(BigInt(value));
    return bytes;
  };
  const weight = (value: number): Buffer => {
    const bytes = Buffer.alloc(4);
    bytes.writeFloatLE(value);
    return bytes;
  };
  const last = [{ sound: 1, word: 0, to: steps.length }];
  const states = [...steps, last];
  return Buffer.concat([
    int32(2_125_659_606),
    text('vector'),
    text('standard'),
    int32(2),
    int32(0),
    int64(3),
    int64(0),
    int64(states.length),
    int64(states.flat().length),
    ...states.flatMap((arcs, i) => [
      weight(i === steps.length ? 0 : Number.POSITIVE_INFINITY),
      int64(arcs.length),
      ...arcs.flatMap(({ sound, word, to }) => [int32(sound), int32(word), weight(0), int32(to)]),
    ]),
  ]);
}

/** A folder packed with tar (POSIX ustar, as far as names, modes and sizes go) and gzip. */
export function packed(files: ReadonlyMap<string, Buffer>): Buffer {
  const entry = (name: string, content: Buffer | undefined): Buffer => {
    const size = content?.length ?? 0;
    const head = Buffer.alloc(512);
    head.write(`model/${name}`, 0);
    head.write(`${content === undefined ? '0000755' : '0000644'}\0${'0000000\0'.repeat(2)}`, 100);
    head.write(`${size.toString(8).padStart(11, '0')}\0`, 124);
    head.write(`${'0'.repeat(11)}\0        ${content === undefined ? 5 : 0}`, 136);
    head.write('ustar\x0000', 257);
    const sum = head.reduce((total, byte) => total + byte, 0);
    head.write(`${sum.toString(8).padStart(6, '0')}\0 `, 148);
    const rest = Buffer.alloc((512 - (size % 512)) % 512);
    return Buffer.concat([head, content ?? Buffer.alloc(0), rest]);
  };
  const folders = new Set([...files.keys()].map((name) => name.slice(0, name.indexOf('/') + 1)));
  return gzipSync(
    Buffer.concat([
      ...['', ...folders].map((name) => entry(name, undefined)),
      ...[...files].map(([name, content]) => entry(name, content)),
      Buffer.alloc(1024),
    ]),
  );
}

/** The files of the model by their path in its folder. */
export const tinyVosk: ReadonlyMap<string, Buffer> = new Map([
  ['conf/mfcc.conf', Buffer.from('--sample-frequency=16000\n--num-ceps=13\n--use-energy=false\n')],
  [
    'conf/model.conf',
    Buffer.from(
      '--min-active=200\n--max-active=3000\n--beam=10.0\n--lattice-beam=2.0\n--acoustic-scale=1.0\n--endpoint.silence-phones=1\n',
    ),
  ],
  ['am/final.mdl', Buffer.from(acousticModel)],
  ['graph/HCLG.fst', graph()],
  ['graph/words.txt', Buffer.from(words.map((word, id) => `${word} ${id}\n`).join(''))],
]);
