import { examEarCalibration } from '../../src/app/calibration.ts';
import { examEarInNode } from '../../src/engines/examear/node.ts';
import { readPronunciations } from '../../src/engines/soundswallower/dictionary.ts';
import { recogniserContract } from './contract.ts';

const weights = new URL('../../src/engines/examear/examear.bin', import.meta.url);
const pronunciations = readPronunciations('clonus K L OW N AH S\npatellar P AH T EH L ER\n');

recogniserContract('the exam ear', () => examEarInNode({ weights, pronunciations }), {
  calibration: examEarCalibration,
});
