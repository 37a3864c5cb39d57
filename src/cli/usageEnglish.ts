export const usage = `plessor: a hands-free assistant for the neurological examination

  plessor listen FILE.wav ...      hear recordings of exams; several are separate exams
          --list FILE              hear the recordings named in a file, one path a line
          --expect KIND:SITE       only the reply to one prompted item, e.g. reflex:patellar
          --model ID               which installed model hears
          --out DIR                write the note, the record and the exports there
          --json                   one line of JSON a recording, and nothing else, on standard output
  plessor interpret "WORDS"        what words mean
          --file FILE              one utterance a line
          --expect KIND:SITE       as above
          --json
  plessor localize RECORD.json     findings in, ranked sites out
          --json
  plessor check FILE               whether a record, a FHIR bundle or a review pack is whole and unchanged
          --passphrase-file FILE   holds the passphrase of a pack in its first line
          --json
  plessor models                   which models there are, and which are installed
  plessor models add ID            install one: fetched from its address, and checked
          --from PLACE             from another address, a folder or a file instead
          --debian                 from the files of its Debian package instead
          --confirm FINGERPRINT    after comparing hashes that the manifest does not know
  plessor models remove ID         free its space
  plessor demo                     hear a demo exam; --list shows them, NAME and --voice V choose

Exit 0 when the work was done, 2 for bad input.`;
