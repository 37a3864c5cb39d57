import { existsSync } from 'node:fs';
import { describe, test } from 'vitest';
import { calibrations } from '../../src/app/calibration/index.ts';
import { modelOf } from '../../src/app/models/manifest.ts';
import { readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import {
  createSoundswallower,
  filesIn,
  packagedModel,
} from '../../src/engines/soundswallower/node.ts';
import { recogniserContract } from './contract.ts';

/**
 * The wide-band model on real sound, from the files of its Debian package. A machine without that
 * package skips this and says so.
 */
const model = modelOf('pocketsphinx-en-us');
const folder = model.debian?.folder ?? '';

if (existsSync(folder)) {
  const create = () =>
    createSoundswallower({
      pronunciations: readPronunciations('clonus K L OW N AH S\npatellar P AH T EH L ER\n'),
      loadFile: async (name) => {
        if (name === 'feat_params.json') {
          return new TextEncoder().encode(JSON.stringify(model.frontEnd));
        }
        const own = model.files.some(({ path }) => path === name);
        return filesIn(own ? folder : packagedModel())(name);
      },
    });
  recogniserContract('soundswallower with the wide-band model', create, {
    calibration: calibrations.wideBand,
  });
} else {
  describe('soundswallower with the wide-band model', () => {
    test.skip(`SKIPPED: ${folder} is not here; apt-get install ${model.debian?.package}`, () => {});
  });
}
