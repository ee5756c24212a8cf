// Keeps the tempo and the key that a machine goes to, round by round, apart from those that were set.

/** The tempo and the key of the page's own settings, even while an example is listened to by others. */
export function standing(settings) {
  const { tempo, key } = settings.source ?? settings;
  return { tempo, key };
}

/** Lets a machine set tempo and key. */
export function moveTo(settings, { tempo, key }) {
  const moving = settings.source ?? settings;
  const before = chosenIn(moving);
  moving.setTempo(tempo);
  moving.key = key;
  moving.moved = { before, after: standing(moving) };
}

/** The tempo and the key that the student or a link set last. */
export function chosenIn({ moved, tempo, key }) {
  return {
    tempo: moved?.after.tempo === tempo ? moved.before.tempo : tempo,
    key: moved?.after.key === key ? moved.before.key : key,
  };
}
