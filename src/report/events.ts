import { type Checked, checkFinding, type ExamEvent, type Fault } from '../exam/index.ts';
import { formFaultMessages } from './messages/faults.ts';

/**
 * Holds anything from outside against the form of a record: every event known and whole, every
 * finding in the vocabulary, every reference to something earlier. What passes can be folded.
 */
export function checkEvents(input: unknown, path = 'events'): Checked<readonly ExamEvent[]> {
  if (!Array.isArray(input)) return fail(path, text.noList);
  const known = new Set<number>();
  for (const [i, item] of input.entries()) {
    const fault = eventFault(item, `${path}[${i}]`, i, known);
    if (fault !== undefined) return { ok: false, fault };
    // A first event that is none was merged with one that followed, or cut off.
    if (i === 0 && item.type !== 'started') return fail(`${path}[0]`, text.noStart);
    // Nothing happens twice in the same way at the same moment: a copy is a slip of some hand.
    if (i > 0 && JSON.stringify(item) === JSON.stringify(input[i - 1])) {
      return fail(`${path}[${i}]`, text.twice);
    }
  }
  return { ok: true, value: input as readonly ExamEvent[] };
}

const fail = (path: string, message: string): Checked<never> => ({
  ok: false,
  fault: { path, message },
});

const { event: text, notText } = formFaultMessages;

const fields: Readonly<Record<ExamEvent['type'], readonly string[]>> = {
  started: ['plan'],
  recorded: ['entry', 'finding', 'hearing'],
  corrected: ['entry', 'supersedes', 'finding', 'hearing'],
  confirmed: ['entries', 'by'],
  withdrawn: ['entries'],
  undone: ['event'],
  completed: [],
};

type Raw = Readonly<Record<string, unknown>>;

const isObject = (input: unknown): input is Raw =>
  typeof input === 'object' && input !== null && !Array.isArray(input);

function eventFault(
  input: unknown,
  path: string,
  index: number,
  known: Set<number>,
): Fault | undefined {
  const fault = (field: string, message: string): Fault => ({ path: `${path}${field}`, message });
  if (!isObject(input)) return fault('', text.none);
  const { type, at } = input;
  if (typeof type !== 'string' || !Object.hasOwn(fields, type)) {
    return fault('.type', text.noType(Object.keys(fields).join(', ')));
  }
  const allowed = fields[type as ExamEvent['type']];
  const stranger = Object.keys(input).find(
    (f) => f !== 'type' && f !== 'at' && !allowed.includes(f),
  );
  if (stranger !== undefined) return fault(`.${stranger}`, text.noField(type));
  if (typeof at !== 'number' || !Number.isFinite(at)) return fault('.at', text.noTime);
  switch (type as ExamEvent['type']) {
    case 'started':
      return typeof input.plan === 'string' ? undefined : fault('.plan', text.noPlan);
    case 'recorded':
    case 'corrected': {
      if (type === 'corrected' && !known.has(input.supersedes as number)) {
        return fault('.supersedes', text.noEarlierEntry);
      }
      const { entry } = input;
      if (!Number.isSafeInteger(entry) || (entry as number) < 1) {
        return fault('.entry', text.noNumber);
      }
      if (known.has(entry as number)) return fault('.entry', text.givenBefore(entry as number));
      known.add(entry as number);
      const checked = checkFinding(input.finding, `${path}.finding`);
      return checked.ok ? hearingFault(input.hearing, `${path}.hearing`) : checked.fault;
    }
    case 'confirmed':
      if (input.by !== 'explicit' && input.by !== 'implicit') {
        return fault('.by', text.noWay);
      }
      return entriesFault(input.entries, `${path}.entries`, known);
    case 'withdrawn':
      return entriesFault(input.entries, `${path}.entries`, known);
    case 'undone': {
      const { event } = input;
      const earlier = Number.isSafeInteger(event) && (event as number) >= 0;
      return earlier && (event as number) < index
        ? undefined
        : fault('.event', text.noEarlierEvent);
    }
    case 'completed':
      return undefined;
    default:
      return undefined;
  }
}

function entriesFault(input: unknown, path: string, known: Set<number>): Fault | undefined {
  if (!Array.isArray(input)) return { path, message: text.noEntries };
  const i = input.findIndex((id) => !known.has(id));
  return i < 0 ? undefined : { path: `${path}[${i}]`, message: text.noEarlierEntry };
}

function hearingFault(input: unknown, path: string): Fault | undefined {
  if (!isObject(input)) return { path, message: text.noHearing };
  const stranger = Object.keys(input).find((f) => f !== 'words' && f !== 'confidence');
  if (stranger !== undefined) return { path: `${path}.${stranger}`, message: text.noFieldHere };
  if (typeof input.words !== 'string') return { path: `${path}.words`, message: notText };
  const { confidence: c } = input;
  if (c !== undefined && !(typeof c === 'number' && c >= 0 && c <= 1)) {
    return { path: `${path}.confidence`, message: text.noProbability };
  }
  return undefined;
}
