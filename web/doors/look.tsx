// How the page looks and which units it speaks: chosen once.
import { Answers, Header, Title } from "../kit/parts";
import type { Colours, Look } from "../kit/look";

export function LookDoor({
  look,
  on_look,
  on_back,
}: {
  look: Look;
  on_look: (look: Look) => void;
  on_back: () => void;
}) {
  const pick = <K extends keyof Look>(key: K, value: Look[K], text: string) => ({
    id: String(value),
    text,
    chosen: look[key] === value,
  });
  const colours = (id: string) => {
    const chosen = id as Colours;
    on_look({
      ...look,
      colours: chosen,
      night: chosen === "red" || chosen === "amber" ? chosen : look.night,
    });
  };
  return (
    <>
      <Header title="Look and units" back={on_back} look={look} on_look={on_look} />
      <main class="column">
        <Title id="look">Look and units</Title>
        <h2>Colours</h2>
        <Answers
          label="Colours"
          on_choose={colours}
          choices={[
            pick("colours", "day", "Day"),
            pick("colours", "red", "Night, red"),
            pick("colours", "amber", "Night, amber"),
            pick("colours", "contrast", "High contrast"),
          ]}
        />
        <p class="second">Amber is for eyes that see red badly. High contrast is for sun and weak eyes.</p>
        <h2>Temperature</h2>
        <Answers
          label="Temperature"
          on_choose={(id) => on_look({ ...look, temperature: id as Look["temperature"] })}
          choices={[pick("temperature", "C", "°C"), pick("temperature", "F", "°F")]}
        />
        <h2>Pressure</h2>
        <Answers
          label="Pressure"
          on_choose={(id) => on_look({ ...look, pressure: id as Look["pressure"] })}
          choices={[pick("pressure", "bar", "bar, kPa"), pick("pressure", "psi", "psi")]}
        />
        <p class="second">Boat speed is in knots.</p>
        <h2>Single keys</h2>
        <Answers
          label="Single keys"
          on_choose={(id) => on_look({ ...look, keys: id === "true" })}
          choices={[pick("keys", true, "On"), pick("keys", false, "Off")]}
        />
        <p class="second">1 to 9 answer, 0 is not sure, Backspace takes back, W opens why.</p>
      </main>
    </>
  );
}
