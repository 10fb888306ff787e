// What a guild is called in a sentence.
import type { Scene } from "./scene.ts";
import { shortName } from "./sentences.ts";

/** "" for all guilds together. */
export function guildName({ facts }: Scene, guildId: string): string {
  const guild = facts.guilds.find(({ guild_id }) => guild_id === guildId);
  return guild ? shortName(guild.name) : "";
}
