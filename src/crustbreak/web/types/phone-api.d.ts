// What the phone app answers. Written by scripts/page_types.py; no page loads this.

export interface AnswerData {
  id: string;
  word: "kept" | "kept late" | "set aside";
  rule: string;
  remedy: string;
}

export interface CheckResponse {
  heard: true;
}

export interface ClockData {
  place: string;
  code: string;
  cup: number;
  is_spilt: boolean;
  is_broken: boolean;
  pour_s: number;
  break_s: number;
  skim_s: number | null;
  taste_s: number;
}

export interface CodeResponse {
  token: string;
}

export type CupState = "empty" | "dosed" | "poured" | "broken" | "skimmed" | "spilt";

export interface EntriesResponse {
  answers: AnswerData[];
}

export interface FactData {
  name: string;
  place: string;
  cup: number;
  kind: string;
  figure: number | null;
  at_s: number | null;
  is_vain: boolean;
}

export type FlightState = "planned" | "set" | "under way" | "handed in" | "called" | "uncovered" | "decided" | "abandoned";

export interface FreeSeat {
  id: string;
  taster: string;
  taken: boolean;
}

export interface HelpResponse {
  table: string;
  helper: true;
  grip: number;
  asks: string;
  places: PlaceData[];
  open: PlaceData[];
  recipe: Pace;
  taps: TapData[];
  state: HelpStateResponse;
  addresses: string[];
}

export interface HelpStateResponse {
  flight: FlightState;
  now: string;
  since_pour_s: number | null;
  cups: Record<string, CupState[]>;
  taste_from_s: Record<string, number>;
  can: string[];
  may_note: boolean;
  facts: FactData[];
  run: RunData;
}

export interface HelperResponse {
  table: string;
  helper: true;
  grip: number;
}

export interface InvitationResponse {
  table: string;
  asks: string;
  way: "table" | "seat" | "helper";
  seats: FreeSeat[];
}

export interface KeptEntry {
  reason?: string | null;
  id: string;
  grip: number;
  no: number;
  kind: string;
  sheet: string;
  place: string | null;
  cup: number | null;
  line: string | null;
  round: string | null;
  value: number | string | null;
  device_time: string;
  word: "kept" | "kept late";
}

export interface LineData {
  id: string;
  title: string;
  kind: "scale" | "cups" | "words" | "choice";
  round: string;
  least: number;
  most: number;
  step: number;
  anchors: [number, string][];
  options: OptionData[];
  all_alike: string;
  compares: boolean;
  beside: string;
}

export interface OptionData {
  id: string;
  said: string;
}

export interface OtherTotal {
  taster: string;
  total: number | null;
}

export interface Pace {
  pace_s: number;
  steep_s: number;
}

export interface PlaceData {
  id: string;
  code: string;
  cups: number;
}

export interface RoundData {
  id: string;
  title: string;
  say: string;
}

export interface RoundStart {
  title: string;
  from_s: number;
}

export interface RunData {
  clocks: ClockData[];
  rounds: RoundStart[];
  isPoured: boolean;
  isBroken: boolean;
}

export interface SeatResponse {
  table: string;
  seat: TakenSeat;
  grip: number;
}

export type SeatState = "open" | "tasting" | "handed in";

export interface SheetData {
  ref: string;
  title: string;
  rounds: RoundData[];
  lines: LineData[];
}

export interface SheetResponse {
  table: string;
  seat: TakenSeat;
  grip: number;
  asks: string;
  paper_code: string;
  sheet: SheetData;
  places: PlaceData[];
  open: PlaceData[];
  verdicts: string[];
  subjects: (string | null)[];
  entries: KeptEntry[];
  state: StateResponse;
  addresses: string[];
}

export interface StateResponse {
  flight: FlightState;
  now: string;
  since_pour_s: number | null;
  cups: Record<string, CupState[]>;
  taste_from_s: Record<string, number>;
  seat: SeatState;
  called: boolean;
  calls_stand: boolean;
  holds: boolean;
  left_out: string | null;
  missing: number;
  decided_at: string | null;
}

export interface TakenSeat {
  id: string;
  taster: string;
  walk: Walk | null;
}

export interface TapData {
  id: string;
  grip: number;
  no: number;
  kind: string;
  place: string | null;
  cup: number | null;
  value: string | null;
  device_time: string;
  word: "kept" | "set aside";
  rule: string;
  remedy: string;
}

export interface UncoveredCoffee {
  code: string;
  coffee: string | null;
  own_total: number | null;
  own_missing: string[];
  own_call: string | null;
  others: OtherTotal[];
}

export interface UncoveredResponse {
  occasion: string;
  how_sure: string | null;
  coffees: UncoveredCoffee[];
  verdicts: Record<string, string> | null;
}

export interface Walk {
  there: number[];
  back: number[];
}
