/**
 * The works that the tables rest on. A row names them by key. `memory` marks general knowledge of the
 * trade that was not held against a passage; such a cell should not decide a test by itself.
 */
export const sources = {
  memory: 'Standard teaching, from memory',
  aids: 'Medical Research Council, Aids to the Examination of the Peripheral Nervous System, Memorandum 45, 1976 (from memory)',
  tableA:
    'Innervation of muscles responsible for movements, upper extremity table, https://ru.scribd.com/document/49204676',
  asj: 'Asian Spine J 2020, table 3, https://pmc.ncbi.nlm.nih.gov/articles/PMC7788378/table/t3-asj-2020-0647',
  giovannoni: 'Giovannoni G, note on wrist drop',
  alberta:
    'University of Alberta, nerve versus root, https://sites.ualberta.ca/~tnowacki/nerve-vs-root',
  upstate:
    'Upstate Medical University, nerve root table, https://www.upstate.edu/cdb/education/grossanat/l-c2-nerveroot-hd.shtml',
  wikiCns:
    'WikiCNS, Peripheral nerve innervation of lower extremity, http://wiki.cns.org/wiki/index.php/Peripheral_nerve_innervation_of_lower_extremity',
  isncsci:
    'ASIA/ISCoS, International Standards for Neurological Classification of Spinal Cord Injury, 2019 (worksheet 2023); Rupp R et al, Top Spinal Cord Inj Rehabil 2021;27(2):1-22',
  learnhaem:
    'Foot drop, https://learnhaem.com/courses/mrcp-paces/lessons/peripheral-neuropathies/topic/foot-drop',
  harrison: "Harrison's Principles of Internal Medicine, lumbosacral radiculopathy table",
  statPearls:
    'Physiology, Deep Tendon Reflexes, StatPearls, https://pubmed.ncbi.nlm.nih.gov/32965909/',
  loyola: 'Loyola LUMEN, http://www.lumen.luc.edu/lumen/MedEd/MEDICINE/PULMONAR/PD/step56a.htm',
  mcgrawHill:
    'McGraw-Hill Interactive Guide, https://accesspharmacy.mhmedical.com/data/interactiveguide/physexam/neuro/reflexesanatomy.html',
  msu: 'Michigan State University, neuroexam, https://learn.chm.msu.edu/neuroexam/content/reflexes/reflexes_exam_upper.html',
  clinicalExam:
    'clinicalexam.com, deep tendon reflexes, https://clinicalexam.com/n_ref_deep_tendon_reflexes.htm',
  ukx: 'Pass my clinical examination, reflexes, https://passmyclinicalexamination.com/reflexes/',
  oganatomy: 'oganatomy.org, https://oganatomy.org/projanat/neuroanat/12/four.htm',
  mcgee: 'McGee S, Evidence-Based Physical Diagnosis, chapter 64',
  felsenthal: 'Felsenthal G, Arch Phys Med Rehabil 1982;63:377-8',
  dejong: "Campbell WW, DeJong's The Neurologic Examination",
  medicalBrainNotes:
    'Superficial reflexes, https://medicalbrainnotes.com/2021/04/superficial-reflexes.html',
  fpNotebook: 'FPnotebook, bulbocavernosus reflex and external anal sphincter',
  brazis: 'Brazis PW, Masdeu JC, Biller J, Localization in Clinical Neurology (from memory)',
  jeon: 'Jeon CH et al, Spine 2013;38:257-63',
  watson:
    'Watson C, Basic Human Neuroanatomy: A Clinically Oriented Atlas, https://basichumanneuroanatomy.com',
} as const;
export type SourceKey = keyof typeof sources;
