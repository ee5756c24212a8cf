// The practice page's player as the screen uses it.

export { decodeSounds } from "../../practice/sound/sounds.js";
export { LiveStage } from "./live_stage.js";
