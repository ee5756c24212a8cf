// The course of a player: the places at which the music goes on, its marks, and the seconds of its ticks.

import { barAfter, barAt, barLine, beatFrom, goesRound, goesRoundAfter, roundAt, secondsBetween, settingOf, tempoAt } from "./road.js";
import { controlsOf, standing } from "./controllers.js";
import { secondsPerTick, swingRatio, swung } from "./time.js";
import { programAt, soundOf, STRUCK } from "./track.js";

const KEPT_SECONDS = 60; // marks of the music's place are kept so long
const CLOSE = 1e-6; // ticks

/** The bars that end at a tick or earlier. */
function barsBefore(track, tick) {
  const isOver = track.road && tick >= barLine(track, track.bars) - CLOSE;
  return isOver ? track.bars : barAt(track, tick + CLOSE);
}

/** The course of a player with a track, wishes, the stage and tick it is at, and the end of its stretch. */
export class Course {
  /** First and last tick of the bars that are practised, in the chorus that is played. */
  get stretch() {
    const chorus = this.chorus * this.track.bars;
    return [barLine(this.track, chorus + this.wishes.from - 1), barLine(this.track, chorus + this.wishes.to)];
  }

  /** The bar that comes after what is played before it: the first that is practised, or one that was paused. */
  get coming() {
    return this.back === null ? this.wishes.from - 1 : barAt(this.track, this.back + CLOSE);
  }

  /** The time round an open line that is played and goes on until the student says; null for none. */
  get waiting() {
    if (this.stage !== "playing" || !this.wishes.waits || !this.track.road) return null;
    const round = roundAt(this.track, barAt(this.track, Math.min(this.tick, this.end - 1)));
    return goesRound(this.track, this.wishes, round) ? round : null;
  }

  /** The ticks of the ending: after the road, else of bars of its own. */
  landing() {
    const { road, bars, landing } = this.track;
    return road ? [barLine(this.track, bars), road.end] : [0, landing.end];
  }

  /** The course of the tempo that is played, undefined where it doesn't change. */
  get course() {
    const { road, landing } = this.track;
    return road?.course ?? (this.stage === "landing" ? landing.course : undefined);
  }

  /** The first beat at a tick or later; before the first bar, as that bar is counted in. */
  beatFrom(tick) {
    if (this.stage === "playing") return beatFrom(this.track, tick);
    const { barTicks } = settingOf(this.track, this.coming);
    const bar = Math.floor((tick + 1e-6) / barTicks) * barTicks;
    return bar + (this.counted(bar).find((start) => bar + start >= tick - 1e-6) ?? barTicks);
  }

  /** The ticks at which a bar before the first is counted: fast by groups, slow threes by their parts. */
  counted(bar) {
    const { track, wishes } = this;
    const { beats, groups, thirds, barTicks, beatTicks } = settingOf(track, this.coming);
    const tempo = (wishes.tempo * this.tempo().share * track.beatTicks) / beatTicks;
    if (this.stage !== "counting") return beats;
    if (tempo > track.counted.fast && bar < -barTicks - 1e-6) return groups;
    return thirds.length && tempo < track.counted.slow ? thirds : beats;
  }

  isBarLine(tick) {
    if (this.stage === "playing") return barLine(this.track, barAt(this.track, tick)) === tick;
    return tick % settingOf(this.track, this.coming).barTicks === 0;
  }

  /** The stretch of even tempo that is played; before the first bar in the tempo of the one that comes. */
  tempo() {
    if (this.stage === "playing" || this.stage === "landing") return tempoAt(this.track, this.tick, this.course);
    return { ...tempoAt(this.track, barLine(this.track, this.coming)), until: Infinity };
  }

  /** A tick of a stream as the tempo swings it. */
  swung(tick) {
    const { track, wishes } = this;
    const bar = barAt(track, tick);
    const { swing, barTicks } = settingOf(track, bar);
    const start = track.road && bar >= 0 ? barLine(track, bar) : Math.floor(tick / barTicks) * barTicks;
    return swung(swing, tick, swingRatio(swing, wishes.tempo), start);
  }

  /** Keeps the place of the music at a time, for the screen; marks of later times are dropped. */
  mark() {
    while (this.marks.at(-1)?.time > this.time) this.marks.pop();
    this.marks.push({
      time: this.time,
      tick: this.tick,
      tempo: this.wishes.tempo,
      perTick: secondsPerTick(this.track, this.wishes.tempo) / this.tempo().share,
      stage: this.stage,
      chorus: this.chorus,
      round: this.round,
      key: this.wishes.key,
      number: this.stage === "playing" ? this.numberOf(this.tick) : null,
    });
    while (this.marks[1]?.time < this.floor - KEPT_SECONDS) this.marks.shift();
  }

  /** The number of the bar at a tick, among all that are played, of the stretch that is played. */
  numberOf(tick) {
    return this.numbered.number + barsBefore(this.track, tick) - this.numbered.bar;
  }

  /** The end of the bar that is played; Infinity where bars aren't counted. */
  get barEnd() {
    return this.stage === "playing" ? barLine(this.track, barAt(this.track, this.tick + CLOSE) + 1) : Infinity;
  }

  barTicksAt(tick) {
    return settingOf(this.track, barAt(this.track, tick)).barTicks;
  }

  /** Whether a part is silent at a tick, because the turn is the student's or the click plays alone. */
  isOut(part, tick) {
    return this.stage === "playing" && this.turns.isOut(part, this.numberOf(tick));
  }

  /** The bar line between two ticks at which a part's turn begins; null for none. */
  returns(part, after, until) {
    if (this.stage !== "playing" || STRUCK.has(part)) return null;
    const line = barLine(this.track, barAt(this.track, after) + 1);
    const comes = line < until && this.numberOf(line) > 0 && !this.isOut(part, line);
    return comes && this.turns.isOut(part, this.numberOf(line) - 1) ? line : null;
  }

  /** The ticks that a note of a part may last from a tick on: to where the music goes on elsewhere, or its turn ends. */
  room(part, tick) {
    const cut = this.cutsNotes ? this.end - tick : Infinity;
    if (this.stage !== "playing") return cut;
    const number = this.numberOf(tick);
    const bars = this.turns.barsUntilOut(part, number);
    if (bars === Infinity) return cut;
    const bar = barsBefore(this.track, tick) + bars;
    const { bars: most, choruses, road } = this.track;
    return bar > most * (road ? 1 : choruses) ? cut : Math.min(cut, barLine(this.track, bar) - tick);
  }

  /** What a practice machine does at a place in the music: {name, left}, in bars; null for nothing to be told. */
  toldAt({ stage, tick, number }) {
    const { track, wishes } = this;
    if (stage === "resting") return { name: "rest", left: Math.ceil(-tick / this.barTicksAt(barLine(track, wishes.from - 1)) - CLOSE) };
    return stage === "playing" ? this.turns.toldAt(number, tick) : null;
  }

  /** The same a beat later, so that there is time to say it. */
  toldAfter({ stage, tick, number }) {
    const { track, wishes } = this;
    const { beatTicks } = settingOf(track, stage === "playing" ? barAt(track, tick) : wishes.from - 1);
    const later = tick + beatTicks;
    if (stage !== "playing") {
      if (stage === "resting" && later < -CLOSE) return this.toldAt({ stage, tick: later });
      const isNext = stage === "resting" ? !wishes.machine.recount : stage === "counting";
      return isNext && later > -CLOSE ? this.turns.toldAt(this.number, this.back ?? this.stretch[0]) : null;
    }
    const [, end] = this.stretch;
    const { rest, recount } = wishes.machine;
    if (later < end - CLOSE || !(rest || recount)) return this.turns.toldAt(number + barsBefore(track, later) - barsBefore(track, tick), Math.min(later, end - 1));
    return rest && !this.isLast ? { name: "rest", left: rest } : null;
  }

  /** Stage, tick of the track, chorus and round at a time of the context; null before the start. */
  placeAt(time) {
    let mark = null;
    for (const made of this.marks ?? []) {
      if (made.time > time + 1e-6) break;
      mark = made;
    }
    if (!mark) return null;
    const tick = mark.tick + (time - mark.time) / mark.perTick;
    const further = mark.number === null ? 0 : barsBefore(this.track, tick) - barsBefore(this.track, mark.tick);
    return { ...mark, tick, number: mark.number === null ? null : mark.number + further };
  }

  partNamed(name) {
    return this.track.parts.find((part) => part.name === name);
  }

  program(part, note) {
    return programAt(this.partNamed(part), note.at);
  }

  sound(part, program) {
    return soundOf(this.partNamed(part), program);
  }

  /** The controllers of a part that go with its notes now. */
  controls(part) {
    if (this.stage !== "playing" && this.stage !== "landing") return [];
    return controlsOf(this.track, this.wishes.key, part, this.stage === "landing" ? "landing" : "round");
  }

  /** Sets a part's controllers as they stand at a tick, which sounds at a time; later ones follow. */
  stand(part, tick, time) {
    const controls = this.controls(part);
    this.nextControl[part] = controls.filter(({ at }) => at < tick).length;
    for (const { number, value } of standing(controls, tick)) this.band.control?.(part, number, value, time);
  }

  /** Hands a part's controllers up to a tick to the band. */
  playControls(part, until) {
    const controls = this.controls(part);
    for (; controls[this.nextControl[part]]?.at < until; this.nextControl[part]++) {
      const { at, number, value } = controls[this.nextControl[part]];
      this.band.control?.(part, number, value, Math.max(this.floor, this.time + (at - this.tick) * this.perTick));
    }
  }

  /** The factor that makes a part as loud in the key that is wished for as it is at home. */
  trim(part) {
    return this.track.keys[this.wishes.key].trims?.[part] ?? 1;
  }

  /** Seconds of some ticks from a tick on. */
  seconds(tick, ticks) {
    if (this.stage !== "playing" && this.stage !== "landing") return ticks * this.perTick;
    return secondsBetween(this.track, tick, tick + ticks, this.wishes.tempo, this.course);
  }

  /** The tick at which the music goes on at `end`; null where the bars that are practised are over. */
  onward() {
    const { track, wishes, goesOn } = this;
    if (!track.road) return null;
    const bar = barAt(track, this.end - 1);
    if (bar + 1 === wishes.to && !goesRoundAfter(track, wishes, bar, goesOn)) return null;
    const next = barAfter(track, wishes, bar, goesOn);
    return next < wishes.to ? barLine(track, next) : null;
  }

  get isLast() {
    return !this.wishes.forEver && this.round + 1 >= this.wishes.rounds;
  }

  /** Whether notes that last longer are cut at `end`, because the music goes on elsewhere. */
  isCut() {
    if (this.stage === "landing" || (this.track.road && this.stage === "counting")) return false;
    const onward = this.stage === "playing" && !this.leaving ? this.onward() : null;
    if (onward !== null) return onward !== this.end;
    return !(this.track.road && this.isLast && !this.leaving);
  }

  /** The time of the context at which a tick of this round sounds that was handed on already. */
  timeOf(tick) {
    const mark = this.marks.findLast((made) => made.time >= this.entered.time && made.tick <= tick + 1e-6);
    return mark.time + (tick - mark.tick) * mark.perTick;
  }
}
