/** Plain words for the closed lists of the check. */

/** @type {[string, string][]} code and words, the most urgent first */
export const symptoms = [
  ['chest-pressure', 'Pressure or tightness in the chest'],
  ['arm-pain', 'Pain into the arm or jaw'],
  ['fainted', 'I fainted'],
  ['near-faint-exertion', 'Nearly fainted while training'],
  ['breathless-at-rest', 'Short of breath at rest'],
  ['breathless-in-effort', 'More short of breath than usual in training'],
  ['palpitations', 'Heart racing or stumbling'],
  ['numb-saddle', 'Numb between the legs'],
  ['bladder-change', 'Trouble holding or passing water or stool'],
  ['leg-weakness', 'A leg is weak or gives in'],
  ['numb-limb', 'An arm or leg is numb'],
  ['sudden-weakness', 'Sudden weakness on one side'],
  ['speech-trouble', 'Trouble speaking'],
  ['worst-headache', 'Worst headache ever'],
  ['head-knock', 'A knock on the head'],
  ['dark-urine', 'Very dark urine'],
  ['hot-swollen-calf', 'Hot, swollen calf'],
  ['swelling', 'A swollen joint'],
  ['deformity', 'Something looks out of shape'],
  ['cannot-bear-weight', 'Cannot put weight on it'],
  ['limping', 'Limping'],
  ['locking', 'A joint locks'],
  ['giving-way', 'A joint gives way'],
  ['night-pain', 'Pain that wakes me at night'],
  ['dizzy', 'Dizzy'],
  ['fever', 'Fever'],
  ['aching-all-over', 'Aching all over'],
  ['sore-throat', 'Sore throat'],
  ['runny-nose', 'Runny nose'],
  ['chest-cold', 'A cold on the chest'],
  ['cough', 'Cough'],
  ['stomach', 'Upset stomach'],
  ['vomiting', 'Vomiting'],
  ['diarrhoea', 'Diarrhoea'],
];

export const regions = ['quads', 'hamstrings', 'glutes', 'calves', 'knees', 'hips', 'low-back', 'upper-back', 'chest',
  'shoulders', 'elbows', 'wrists', 'neck'];

export const sites = ['knee', 'hip', 'low-back', 'shoulder', 'elbow', 'wrist', 'ankle', 'neck', 'upper-back', 'chest',
  'calf', 'shin', 'foot', 'groin', 'thigh', 'hamstring', 'glute', 'rib', 'abdomen', 'forearm', 'hand', 'head', 'jaw'];

export const kinds = ['dull', 'sharp', 'numb', 'pressure', 'burning', 'radiating'];

/** Column, name, what the ends of the scale mean. @type {[string, string, string, string][]} */
export const items = [
  ['sleep_quality', 'Sleep quality', 'worst', 'best'],
  ['soreness', 'Soreness', 'none', 'worst'],
  ['fatigue', 'Fatigue', 'none', 'worst'],
  ['stress', 'Stress', 'none', 'worst'],
  ['mood', 'Mood', 'worst', 'best'],
];

/** @param {string} code @returns {string} */
export function spoken(code) {
  return code.replaceAll('-', ' ');
}
