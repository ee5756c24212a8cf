// Auditions: notes heard once in the page's own band, alone, over a chord that is held, or over the running band.
// Each has channels of its own, so that the band's players sound as they do without it.

import { makeClock } from "./clock.js";
import { BandTime, OwnTime } from "./audition_time.js";
import { nearestPart } from "./sounds.js";
import { bentCourse } from "../music/bends.js";
import { BAND } from "../music/listening.js";
import { SOLO } from "../music/track.js";

const LEAD_SECONDS = 0.06; // from the press to the first note
const AHEAD_SECONDS = 0.5;
const HIDDEN_AHEAD_SECONDS = 2.5; // a browser may call a hidden page only once a second
const LEAST_SECONDS = 0.05; // of a note
const VELOCITY = 84;
const CHORD = { velocity: 54, loudness: 0.8 }; // quieter than what is heard over it
const USER = "audition"; // of the stage's clock

export class Audition {
  /** stage: the page's context, band and player. settings: the tempo and the key that are set. heard: called with each note. */
  constructor(stage, settings, heard = () => {}) {
    Object.assign(this, { stage, settings, heard, playing: false });
    this.clock = makeClock(() => this.#tick());
  }

  /**
   * Sounds some notes once; those that sound end.
   *
   * notes: in order, each {at, length, pitch or pitches, velocity, gesture, part, sound, ...}, in ticks from a bar
   * line; or a function that gives the next one for a place {tick, key, stage} of the running band, null after the
   * last. gesture: as `bentCourse` has it. part: whose sound they have that have none of their own. over: null for
   * alone, BAND, or a chord to hold, {part, sound, pitches}. tempo: beats a minute, without the band. from: the time
   * of the context at which the band's next beat is looked for. done: called at the end, with false if it was
   * broken off.
   */
  play(notes, { part = SOLO, over = null, tempo = this.settings.tempo, from = 0, done = () => {} } = {}) {
    this.hush();
    const { context, player } = this.stage;
    const { track } = this.settings;
    const start = Math.max(from, context.currentTime + LEAD_SECONDS);
    const first = Math.min(notes[0]?.at ?? 0, over?.part ? 0 : Infinity); // of a pick-up before 0
    const time = over === BAND ? new BandTime(player, start) : new OwnTime(track, tempo, start, first);
    Object.assign(this, { notes, part, over, time, done, playing: true, n: 0, nextAt: 0, end: start, handed: [], again: [] });
    this.chordAt = over?.part ? first : Infinity;
    this.lastTick = Array.isArray(notes) ? Math.max(0, ...notes.map(({ at, length }) => at + length)) : Infinity;
    this.#channel(part);
    if (over?.part) this.#channel(over.part, true, CHORD.loudness);
    this.#tick();
    this.stage.use(USER).catch(() => {});
    this.clock.start();
  }

  /** Of some parts, the best first, the one whose recorded notes lie near enough to some pitches, else the nearest. */
  partFor(parts, pitches) {
    return nearestPart(this.stage.sounds, parts, pitches);
  }

  /** Ends what sounds. */
  hush() {
    if (!this.playing) return;
    this.stage.band.silence([...this.names()]);
    this.#finish(false);
  }

  /** The names of the parts of the band that are the audition's own. */
  names() {
    return [...this.stage.band.channels.keys()].filter((name) => name.startsWith("audition "));
  }

  /** The notes that leave the speaker now. */
  sounding() {
    if (!this.playing) return [];
    const now = this.stage.context.currentTime - this.stage.late;
    return this.handed.filter(({ starts, ends }) => starts <= now && now < ends).map(({ note }) => note);
  }

  /** Hands all notes up to a time of the context to the band. */
  advance(horizon) {
    const moved = this.time.moved?.() ?? null;
    if (moved !== null) this.#rewind(moved);
    this.#holdChord(horizon);
    for (let tick = this.#nextTick(); tick !== null; tick = this.#nextTick()) {
      const place = this.time.at(tick, 0);
      if (!place || place.time >= horizon) return;
      const note = this.again.shift() ?? this.#take(place, tick);
      if (note) this.#strike(note);
    }
  }

  #tick() {
    const { context, player } = this.stage;
    const now = context.currentTime;
    this.advance(now + (document.hidden ? HIDDEN_AHEAD_SECONDS : AHEAD_SECONDS));
    const isOver = (this.over === BAND && player.stage === "stopped") || this.#nextTick() === null;
    if (this.playing && isOver && now > this.end) this.#finish(true);
  }

  /** The tick of the next note; null after the last. */
  #nextTick() {
    if (this.again.length) return this.again[0].at;
    if (Array.isArray(this.notes)) return this.notes[this.n]?.at ?? null;
    return this.lastTick === Infinity ? this.nextAt : null;
  }

  /** The next note, at a place; null after the last. */
  #take(place, tick) {
    if (Array.isArray(this.notes)) return this.notes[this.n++];
    const note = this.notes(place, this.n++);
    if (!note) this.lastTick = tick;
    else this.nextAt = tick + note.length;
    return note && { ...note, at: tick };
  }

  #strike(note) {
    const { band } = this.stage;
    const { track, key } = this.settings;
    const { at, length, pitches = [note.pitch], velocity = VELOCITY, gesture, part = this.part } = note;
    const place = this.time.at(at, length);
    const { time: starts } = place;
    const seconds = Math.max(LEAST_SECONDS, place.seconds);
    const course = gesture ? bentCourse(gesture, seconds, track.hand) : [];
    const trim = track.keys[place.key ?? key].trims?.[part] ?? 1;
    const name = this.#channel(part);
    for (const pitch of pitches) {
      band.strike(name, pitch, velocity, starts, seconds, note.sound ?? part, trim, course);
      this.heard({ part: name, at: starts, pitch, velocity, tick: at, seconds, gesture });
    }
    this.handed = this.handed.filter(({ ends }) => ends > starts - 2 * HIDDEN_AHEAD_SECONDS);
    this.handed.push({ note, starts, ends: starts + seconds });
    this.time.keep?.(at, place);
    this.end = Math.max(this.end, starts + seconds);
  }

  /** Strikes the chord that is held, bar by bar, up to the end of the notes. */
  #holdChord(horizon) {
    const { track } = this.settings;
    for (; this.chordAt < this.lastTick; this.chordAt = this.time.nextBar(this.chordAt)) {
      const last = Math.min(this.lastTick, this.time.nextBar(this.chordAt));
      const { time: at, seconds } = this.time.at(this.chordAt, last - this.chordAt);
      if (at >= horizon) return;
      const { part, sound, pitches } = this.over;
      const name = this.#channel(part, true);
      const trim = track.keys[this.settings.key].trims?.[part] ?? 1;
      for (const pitch of pitches) {
        this.stage.band.strike(name, pitch, CHORD.velocity, at, seconds, sound, trim);
        this.heard({ part: name, at, pitch, velocity: CHORD.velocity, tick: this.chordAt, seconds });
      }
    }
  }

  /** Takes back the notes from a time on, because the band goes on elsewhere from there. */
  #rewind(from) {
    const late = this.handed.filter(({ starts }) => starts >= from);
    this.stage.band.takeBack(this.names(), from);
    this.handed = this.handed.filter(({ starts }) => starts < from);
    this.again = [...late.map(({ note }) => note), ...this.again];
  }

  /** The audition's own channel that sounds as a part does. */
  #channel(part, holds = false, loudness = 1) {
    const name = `audition ${holds ? "chord " : ""}${part}`;
    this.stage.band.double(name, part, loudness);
    return name;
  }

  #finish(isWhole) {
    const { stage } = this;
    this.playing = false;
    this.clock.stop();
    stage.leave(USER);
    this.done(isWhole);
  }
}
