/** Frequent given names that are no words of the trade and hardly begin a sentence. */
const FREQUENT_NAMES = new Set(
  (
    'james john robert michael david william richard joseph thomas charles christopher daniel matthew anthony paul andrew joshua kenneth kevin brian george edward ronald timothy jason jeffrey ryan jacob gary ' +
    'nicholas eric jonathan stephen larry justin scott brandon benjamin samuel gregory alexander patrick raymond dennis jerry tyler aaron peter henry douglas adam nathan zachary walter kyle harold carl jeremy ' +
    'mary patricia jennifer linda elizabeth barbara susan jessica sarah karen lisa nancy betty margaret sandra ashley kimberly emily donna michelle carol amanda dorothy melissa deborah stephanie rebecca sharon ' +
    'laura cynthia kathleen amy angela shirley anna brenda pamela emma nicole helen samantha katherine christine debra rachel carolyn janet catherine maria heather diane ruth julie olivia joyce virginia victoria ' +
    'mohammed muhammad mohamed ahmed ali hassan hussein omar ibrahim fatima aisha khadija yusuf abdullah abdul priya rahul amit sunil rajesh anil sanjay deepak ravi suresh lakshmi pooja anjali sunita ' +
    'wei ming jing ling yan chen wang li zhang liu yang huang nguyen tran hiroshi yuki kenji akira haruto sakura kim lee park choi jose juan carlos luis jorge pedro miguel francisco antonio manuel ana carmen ' +
    'rosa lucia sofia elena ivan sergei dmitri alexei olga natasha tatiana svetlana pierre jean marie françois hans klaus jürgen heinz günter ursula helga giovanni giuseppe marco luca paolo giulia francesca ' +
    'smith jones williams brown taylor davies evans wilson johnson roberts walker wright thompson robinson hughes edwards hall green clarke jackson harris cooper khan patel singh begum hussain kaur'
  ).split(' '),
)
/** Those of the list that are also words or trade abbreviations: they count only beside another sign of a name. */
const ALSO_WORDS = new Set([
  'brown',
  'green',
  'hall',
  'wright',
  'walker',
  'cooper',
  'park',
  'lee',
  'li',
  'kim',
  'yan',
  'ana',
  'may',
  'carol',
  'gary',
  'scott',
  'ling',
  'ming',
  'virginia',
  'victoria',
  'rosa',
  'jean',
  'wang',
  'taylor',
  'carl',
  'chen',
  'yang',
  'ali',
  'marco',
  'wei',
  'jing',
  'thompson',
  'wilson',
  'harris',
  'evans',
  'liu',
  'huang',
  'zhang',
  'jackson',
  'roberts',
  'robinson',
])

/** A frequent name that is no word of the trade besides. */
export const isFrequentName = (lower: string): boolean => FREQUENT_NAMES.has(lower) && !ALSO_WORDS.has(lower)
