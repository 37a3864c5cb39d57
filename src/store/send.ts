import { PortError } from '../ports.ts';
import { storeMessages } from './messages.ts';
import { within } from './within.ts';

/** A FHIR server that the user named. Nothing is sent anywhere else, and nothing without being told. */
export interface FhirServer {
  /** The service base, e.g. `https://fhir.example/r4`. */
  readonly base: string;
  /** Bearer token (RFC 6750); goes into the header alone, never into an address or a message. */
  readonly token?: string;
}

/** What `sendBundle` leaves to the caller: how to fetch, how to wait, whom to tell. */
export interface Sending {
  readonly fetch?: typeof fetch;
  readonly wait?: (ms: number) => Promise<void>;
  /** Called before each try after the first, with the reason in one line. */
  readonly again?: (why: string) => void;
  readonly signal?: AbortSignal;
}

/** What has to be known of a Bundle to send it. */
export interface SentBundle {
  readonly identifier?:
    | { readonly system?: string | undefined; readonly value?: string | undefined }
    | undefined;
}

const { server: text } = storeMessages;

const tries = 4;
const answerWithinMs = 30_000;
const longestPauseMs = 30_000;

/** Answers after which a server asks to be tried again (RFC 9110, 15.5 and 15.6; RFC 6585 for 429). */
const passing = new Set([408, 425, 429, 502, 503, 504]);

/**
 * Creates a Bundle on a FHIR R4 server (REST create, hl7.org/fhir/R4/http.html#create). The create is
 * conditional on the Bundle's identifier, so that a Bundle whose answer was lost is not there twice.
 *
 * @returns where the server put it, or undefined when it says nothing of that
 * @throws PortError saying what the server said and what to do
 */
export async function sendBundle(
  server: FhirServer,
  bundle: SentBundle,
  { fetch: get = fetch, wait = pause, again, signal }: Sending = {},
): Promise<string | undefined> {
  const address = addressOf(server.base);
  const { system, value } = bundle.identifier ?? {};
  const headers = {
    'content-type': 'application/fhir+json',
    accept: 'application/fhir+json',
    ...(value === undefined ? {} : { 'if-none-exist': `identifier=${system ?? ''}|${value}` }),
    ...(server.token === undefined ? {} : { authorization: `Bearer ${server.token}` }),
  };
  const request: RequestInit = {
    method: 'POST',
    headers,
    body: JSON.stringify(bundle),
    redirect: 'error',
    ...(signal === undefined ? {} : { signal }),
  };
  for (let attempt = 1; ; attempt++) {
    const answer = await within(answerWithinMs, get(address, request), text.unreachable)
      .then((response) => ({ response }))
      .catch((cause: unknown) => ({ cause }));
    if (signal?.aborted) throw new PortError('aborted', text.stopped);
    if ('response' in answer && answer.response.ok) {
      return answer.response.headers.get('location') ?? undefined;
    }
    const lost = !('response' in answer);
    const why = lost ? text.unreachable : await saidBy(answer.response);
    if (attempt >= tries || !(lost || passing.has(answer.response.status))) {
      throw new PortError(
        lost ? 'not-found' : 'denied',
        text.notSent(why),
        lost ? { cause: answer.cause } : {},
      );
    }
    again?.(why);
    await wait(pauseMs(lost ? undefined : answer.response, attempt));
  }
}

function addressOf(base: string): string {
  const url = URL.canParse(base) ? new URL(base) : undefined;
  const local = ['localhost', '127.0.0.1', '[::1]'].includes(url?.hostname ?? '');
  if (url === undefined || !(url.protocol === 'https:' || (url.protocol === 'http:' && local))) {
    throw new PortError('unsupported', text.insecure);
  }
  if (url.username !== '' || url.password !== '' || url.search !== '' || url.hash !== '') {
    throw new PortError('unsupported', text.notBase);
  }
  return `${url.href.replace(/\/$/, '')}/Bundle`;
}

/** What the server says is wrong, from its OperationOutcome where it sends one. */
async function saidBy(response: Response): Promise<string> {
  const body = await response.text().catch(() => '');
  try {
    const { issue } = JSON.parse(body);
    const said = issue[0].diagnostics ?? issue[0].details?.text;
    if (typeof said === 'string') {
      return text.said(response.status, said.replace(/\s+/g, ' ').slice(0, 200));
    }
  } catch {
    // Not an OperationOutcome: the status has to do.
  }
  return text.answered(response.status);
}

/** Twice as long each time, or as long as the server asks for, within reason. */
function pauseMs(response: Response | undefined, attempt: number): number {
  const asked = Number(response?.headers.get('retry-after') ?? Number.NaN) * 1000;
  const own = 500 * 2 ** (attempt - 1);
  return Math.min(asked > 0 ? asked : own, longestPauseMs);
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
