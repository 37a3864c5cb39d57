import { type FhirServer, type SentBundle, sendBundle } from '../store/send.ts';
import { framed } from './recordsFrame.ts';

/** Runs in the frame that may connect to the server the user named; see `inFrame`. */
framed<{ readonly server: FhirServer; readonly bundle: SentBundle }>(({ server, bundle }, told) =>
  sendBundle(server, bundle, { again: told }),
);
