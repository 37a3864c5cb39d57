import { checkFinding, type Finding, type Side } from '../../src/exam/index.ts';

/**
 * Cases in plain text, for clinicians to read and to add to. Blocks are parted by an empty line:
 *
 *     case foot-drop-1
 *     accept root:L5 left; plexus:sacral left
 *     source Harrison, lumbosacral radiculopathy table
 *     strength left: ankle-dorsiflexion 3, great-toe-extension 2
 *     reflex both: patellar 2+, achilles 2+
 *     reflex left: achilles 1+ delayed-relaxation
 *     sensation pinprick left: lateral-leg reduced
 *     clonus right: ankle sustained 10
 *     context: age 52, back-pain present
 *     rest normal
 *
 * `accept` lists sites that count as right, any of them; a site may be a pattern (`cord:C[5-7]:.*`),
 * two lesions are joined by `+`. `loose` means the answer is open to argument and the case is not
 * counted. `rest normal` fills in a routine examination of everything not mentioned. No side means
 * the midline.
 */
export interface Case {
  readonly id: string;
  readonly accept: readonly Accepted[];
  readonly strict: boolean;
  readonly source: string;
  readonly findings: readonly Finding[];
}

/** One lesion, or two together in either order. */
export type Accepted = readonly { readonly site: RegExp; readonly side: string }[];

const sideWords: Readonly<Record<string, readonly Side[]>> = {
  left: ['left'],
  right: ['right'],
  both: ['left', 'right'],
  midline: ['midline'],
};

/** @throws Error naming the line that cannot be read */
export function readCases(text: string, file = 'cases'): readonly Case[] {
  const cases: Case[] = [];
  const lines = text.split('\n');
  let block: { line: number; text: string }[] = [];
  const close = (): void => {
    if (block.length > 0) cases.push(readCase(block, file));
    block = [];
  };
  lines.forEach((raw, i) => {
    const line = raw.replace(/(^|\s)#.*$/, '').trim();
    if (line !== '') block.push({ line: i + 1, text: line });
    else if (raw.trim() === '') close();
  });
  close();
  return cases;
}

function readCase(block: readonly { line: number; text: string }[], file: string): Case {
  let id = '';
  let accept: readonly Accepted[] = [];
  let source = '';
  let strict = true;
  let rest = false;
  const findings: Finding[] = [];
  for (const { line, text } of block) {
    const fail = (why: string): never => {
      throw new Error(`${file}:${line}: ${why}: "${text}"`);
    };
    const [word = ''] = text.split(/\s/, 1);
    const tail = text.slice(word.length).trim();
    if (word === 'case') id = tail;
    else if (word === 'accept') accept = readAccept(tail);
    else if (word === 'source') source = tail;
    else if (text === 'loose') strict = false;
    else if (text === 'rest normal') rest = true;
    else findings.push(...readFindings(text, fail));
  }
  if (id === '' || accept.length === 0)
    throw new Error(`${file}:${block[0]?.line}: no case or accept`);
  return { id, accept, strict, source, findings: rest ? fillIn(findings) : findings };
}

const readAccept = (text: string): readonly Accepted[] =>
  text.split(';').map((one) =>
    one.split(' + ').map((lesion) => {
      const [site = '', side = 'any'] = lesion.trim().split(/\s+/);
      return { site: new RegExp(`^(?:${site})$`), side };
    }),
  );

function readFindings(text: string, fail: (why: string) => never): readonly Finding[] {
  const colon = text.indexOf(':');
  if (colon < 0) fail('no colon after what was examined');
  const head = text.slice(0, colon).trim().split(/\s+/);
  const kind = head[0] ?? '';
  const sideWord = head[head.length - 1] ?? '';
  const sides = sideWords[sideWord] ?? (['midline'] as const);
  const modality = kind === 'sensation' ? head[1] : undefined;
  return text
    .slice(colon + 1)
    .split(',')
    .flatMap((part) => {
      const words = part.trim().split(/\s+/);
      if (kind === 'plantar' && words.length === 1) words.unshift('foot');
      if (kind === 'gait' && words.length === 1) words.unshift('gait');
      const [site = '', value = '', ...more] = words;
      const beats = kind === 'clonus' && more.length > 0 ? { beats: Number(more[0]) } : {};
      const qualifiers = kind === 'reflex' && more.length > 0 ? { qualifiers: more } : {};
      return sides.map((side) => {
        const finding = {
          kind,
          site,
          side,
          value: site === 'age' ? Number(value) : value,
          ...(modality === undefined ? {} : { modality }),
          ...beats,
          ...qualifiers,
        };
        const checked = checkFinding(finding);
        return checked.ok ? checked.value : fail(`${checked.fault.path} ${checked.fault.message}`);
      });
    });
}

const routine = `strength both: shoulder-abduction 5, elbow-flexion 5, elbow-extension 5, wrist-extension 5, finger-extension 5, finger-flexion 5, finger-abduction 5, thumb-abduction 5, hip-flexion 5, hip-abduction 5, knee-extension 5, knee-flexion 5, ankle-dorsiflexion 5, ankle-plantarflexion 5, ankle-eversion 5, ankle-inversion 5, great-toe-extension 5
reflex both: biceps 2+, brachioradialis 2+, triceps 2+, patellar 2+, achilles 2+
plantar both: flexor
tone both: upper-limb normal, lower-limb normal
sensation pinprick both: lateral-arm normal, thumb normal, middle-finger normal, little-finger normal, anterior-thigh normal, medial-leg normal, dorsum-of-foot normal, lateral-foot normal
sensation vibration both: great-toe normal
coordination both: upper-limb normal, lower-limb normal`;

/** A routine examination of whatever was not mentioned, all normal. */
function fillIn(findings: readonly Finding[]): readonly Finding[] {
  const key = (f: Finding): string =>
    `${f.kind}/${f.site}/${f.side}/${f.kind === 'sensation' ? f.modality : ''}`;
  const known = new Set(findings.map(key));
  const never = (why: string): never => {
    throw new Error(why);
  };
  const filled = routine.split('\n').flatMap((line) => readFindings(line, never));
  return [...findings, ...filled.filter((f) => !known.has(key(f)))];
}

/** Whether a hypothesis is one of the answers that count. */
export function accepts(
  accept: readonly Accepted[],
  hypothesis: {
    readonly site: string;
    readonly side: string;
    readonly sites?: readonly { readonly site: string; readonly side: string }[];
  },
): boolean {
  const fits = (want: Accepted[number], is: { site: string; side: string }): boolean =>
    want.site.test(is.site) && (want.side === 'any' || want.side === is.side);
  const given = hypothesis.sites ?? [hypothesis];
  return accept.some((wanted) => {
    const [one, two] = wanted;
    if (one === undefined) return false;
    if (two === undefined) return fits(one, hypothesis);
    const [a, b] = given;
    if (a === undefined || b === undefined) return false;
    return (fits(one, a) && fits(two, b)) || (fits(one, b) && fits(two, a));
  });
}
