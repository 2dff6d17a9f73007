/**
 * Everyday words that people write with a capital in comments: in title case, at the start of a sentence, in shouting.
 * Two words in a row that are in no list read as a name, so a word that is missing here can refuse a comment, and a word
 * that is also a surname lets that surname pass. Frequent surnames are therefore left out, except those the trade needs.
 */
const VERBS =
  'accept achieve add adjust admit affect afford agree allow answer anticipate apologise apply appear arrange arrive assist assume attempt attend await become begin behave believe belong beware book ' +
  'borrow bother bring build buy calculate cancel carry catch cause chat clarify close collapse collect come compare complain complete complicate confirm congratulate connect contain contribute ' +
  'control convince copy correct cover create cross damage deal debate decline decompress define defer delay deliver demand deny depend describe deserve design detect develop deviate differ direct ' +
  'disagree disappear disappoint discover dislike dispense displace document doubt draw drop drive earn eat echo elevate emulsify enable encourage endorse enjoy enlarge enter escalate establish ' +
  'estimate evaluate examine exceed exchange exclude excuse exist expand expose extend face favour favor fear feed fight fill finish fit fix flag flip flush focus fold forget forgive gain go grab grasp grow ' +
  'guarantee guard guess guide handle hang happen hate head heal hear hesitate hit hope hurry hurt hydrate identify ignore imagine imply include indicate inform inflate inherit insist inspect install ' +
  'instruct intend interfere introduce invite involve irrigate join judge jump justify lack lead lean learn lend lie lift link listen load locate lose love manage mark match meet mention minimise ' +
  'minimize minimum monitor move nudge object obtain occur offer omit oppose overfill overestimate own park pass pause pay persist pick place play polish postpone pour practise practice predict prepare ' +
  'prescribe present press presume pretend proceed produce progress promise propose protect prove provide pull punch push quit quote raise reach react realise reassure reassess recall receive ' +
  'recheck reconsider recover reduce refuse regret reject rejoin relax release rely remain remark remeasure remember remind remove reoperate reply reproduce reposition request rescue reschedule ' +
  'resist resolve respect respond rest restore retain retract retrieve return reveal reverse rise risk rotate rule run rush save say search secure seek seem select send separate serve settle share shift ' +
  'sign simplify sit skip sleep slip slow solve sort sound speak spend split spread squeeze stand stabilise stabilize stick store stress stretch struggle submit succeed suit supervise supply suppose surprise ' +
  'survive swap swell switch talk tear tell tend thank think throw tie tilt tire touch transfer travel trigger trust turn understand undertake upgrade urge value vary view visit vote waive wake walk ' +
  'warn wash waste watch wear welcome win wonder worsen write scrub prep'

const IRREGULAR =
  'began begun brought built bought came caught chose chosen dealt drawn drew driven drove fell fallen felt forgot forgotten fought gave gone got gotten grew grown heard held hung knew kept laid led left lent ' +
  'lost made meant met paid ran risen rose said sat saw sent shown slept sold sought spoke spoken spent stood stuck taught thought threw thrown told took torn understood went woke won wore worn written wrote ' +
  'am is isn aren wasn weren don doesn didn won wouldn couldn shouldn can cannot couldn hasn haven hadn mustn needn ain ll ve re let lets gonna'

const NOUNS =
  'absence access accident action activity adult age agenda aim amount angle anxiety aphakia area argument arm array arrangement arthritis aspect assistance attention authority availability background bed benefit ' +
  'bit blood board body book bottom box brain budget button camera cannula capacity category caution certainty chain chart choice circle circumstance code cohort colour color column combination comfort ' +
  'command committee communication companion comparison complaint complexity compliance complication component compromise concept conclusion condition conference confidence confusion consequence consideration ' +
  'consensus consistency contact content context contour contraindication contrast copy core corner cost counsel couple course criterion culture curve cycle damage danger deadline degree description detail device ' +
  'diagram diaphragm difference difficulty direction disadvantage discussion disease distance doctor dome door dose drawer driver duty edge education effect effort element emergency emphasis energy environment ' +
  'equipment error estimate evidence example exception excuse exercise expectation experience expert explanation exposure extent fact factor failure family fashion fault feature feedback figure film finger flap ' +
  'flow folk foot force forceps form frame friend function future game gauge glass glance glasses goal grade ground group guideline guidance habit hand handle head health heart height history hole holiday home ' +
  'hospital hour house hub idea image impression improvement incident indication individual information insight inspection instance instruction instrument insurance intention interest interval intervention issue ' +
  'item job joint journal judgement judgment kit knee knife knowledge lady landmark layer leader learning lecture legend lesson letter level library limit limitation line list literature load location logic loss ' +
  'luck machine majority man manner manoeuvre maneuver margin material matter maximum meaning means measure mechanism meeting member memory mention message microscope midnight mind minority minute mistake mix ' +
  'moment money month mood motion mouth nature neck needle nerve news noise note notice nurse nursing objection observation occasion office operator opportunity outcome outpatient outpatients outreach overview pace page pain ' +
  'pair pack paper paragraph parent participant partner party past path pathway patience pattern payment people percent perception performance period permission person perspective phase phone photo phrase physician ' +
  'picture piece pity plate platform pleasure policy poll population portion position possibility potential practice precaution preference preparation presence presentation pressure principle priority privacy ' +
  'procedure process product profile prognosis programme program progress project promise proof proportion proposal protection protocol purpose quality quantity quarter radius rate ratio reaction reality recipe ' +
  'recommendation recovery reduction reference region regret relation relationship relief reminder repair research resident resource response responsibility rest restriction result retraction review revision ' +
  'reward ring role roof root rota route routine row rule safety sample scale scenario schedule scheme school science scissors score screen seat second section security segment selection sense sensation sentence ' +
  'sequence series service session setting severity shape shell shield shift shock shot shoulder signal silence sink situation skill skin slide slot software solution source space speciality specialty specialist speed ' +
  'spot stability staff stage stake standard state statement status stem step stitch stock story strength string structure student study style subject substance substitute success sum supervision supervisor supply surface ' +
  'surprise survey symptom syndrome system tail target task teaching tendency term text theory thread threat threshold throat thumb ticket tissue title tool topic total touch track trade tradition training transport ' +
  'trauma treatment trend trial trick trip trouble turn tutorial type uncertainty understanding universe upside user vacancy variant variation variety vessel video viscosity visibility voice volume vote waiting wall warning waste ' +
  'water wedge weekend weight window winner wish wisdom witness woman wood word worker world worry zone cobalt oxide illumination endoilluminator illuminator chandelier sulfonamide rash filter'

const OTHERS =
  'aboard absent absolutely absurd accordingly accurate across active actual actually acute additional adequate admittedly afterwards ago ahead alert alike alive alone along alongside already alright alternative ' +
  'altogether ambitious amenable ample angry annual anybody anyhow anyway anywhere apart apparent appropriate approximate apt aside asleep astute automatic available average awake away awful awkward bad barely basic ' +
  'beautiful behind below beneath beside besides beyond binocular brave brief bright brilliant broad busy calm capable careful casual cautious certain cheap cheerful classic clever clockwise cold comfortable common ' +
  'compatible complete complicated compulsory consecutive conscious conservative considerable consistent constant contrary convenient cool crucial daily damp dangerous dead dear decent definite deliberate delicate ' +
  'delighted dependent desirable desperate different direct dirty disposable distinct downside downwards dual dull during eager eastern effective efficient eight eighty elderly elective eleven eligible elsewhere ' +
  'empty enormous enough entire equal especially essential eventual everybody everyone everything everywhere evident exact excellent excessive exciting exclusive existing expensive experienced explicit external ' +
  'false familiar famous fantastic fast favourable favourite fewer fifth fifty final firm five flat flexible foolish forced foreign formal former forth fortunate forty forward four fourth fragile free frequent fresh ' +
  'frightened front frozen fundamental funny furthermore generous gentle genuine glad gorgeous gradual grateful greatly guarded half handy harmless harsh healthy heavy helpful hence herself himself honest ' +
  'hopeful horrible hot huge hundred ideal identical immediate imminent immense impossible impressive inadequate incomplete indeed independent indirect individual inevitable inferior informal initial inner innocent ' +
  'instant instead insufficient intense interested interesting internal invisible irregular itself joint jolly just juicy keen kind largely lateral latter lazy leathery legal lesser likely lively local lone loose lots ' +
  'loud lovely low loyal lucky lump mad main mandatory manually marginal marked massive mature maximal meanwhile medial mere merry messy micro middle mighty minimal minor minus missing mobile mostly multiple mutual my myself ' +
  'namely nasal nasty natural naturally nearby nearly neat necessary negative neither nervous nevertheless nice nine ninety nobody nominal nonetheless noon nope normal northern notable nothing notwithstanding novel ' +
  'nowhere numerous obvious occasional odd ok onto onwards operable ordinary original otherwise ours ourselves outer outright outside outstanding overall overly overnight pale paramount partial particular passive ' +
  'patient perfect permanent plain pleasant pleased plenty plus polite positive possible potential powerful practical precise preferable pregnant preliminary premature presumably pretty preventive previous primary ' +
  'principal private probable productive profound prompt proper proposed proud public pure quiet radial random rapid rare rather reasonable recent reckless redundant regardless regular relative relevant reliable reluctant ' +
  'remaining remarkable respective responsible ridiculous robust rough rude sad satisfactory scared secondary sensible sensitive separate seven seventy several sharp sheer significant silly single six sixty sleepy slight ' +
  'smart smooth sole solid somebody somehow somewhat somewhere sorry southern spare special specific spectacular splendid spontaneous standard steady sterile straight straightforward strange strict stupid subsequent ' +
  'substantial subtle successful sudden sufficient suitable super superb supportive surely surprising sweet swift systemic tall technical temporary ten tender tentative terrible terrific thankful theoretical ' +
  'therefore thirty thorough thousand thus tight tiny tired top tough tremendous tricky true truly twelve twenty twice typical ultimate unanimous unavailable uncomfortable unclear underneath unexpected unfortunate unhappy ' +
  'unhelpful uniform unique unknown unlikely unnecessary unpleasant unstained unstable unusual unwise upcoming upon upright upset upwards urgent useful useless vague valid valuable various vast versus vertical vigilant ' +
  'visible vital voluntary vulnerable warm weekly weird western wet whatever whenever whereas wherever whether whichever whoever whole wholly whose wicked wise wonderful worldwide worse worst worth worthwhile worthy ' +
  'wrong yeah yep yearly yellow yesterday yet yours yourself zero hey hi hello cheers congrats congratulations apologies bravo wow oops ouch oh ah hmm lol fyi imo imho afaik asap btw eg ie etc nb ps tbh thx ty ta ok okay kudos ' +
  'sincerely regards hither first third fourth sixth seventh eighth ninth tenth'

/** Trade words that occur in comments and in no table of findings, eponyms among them. */
const TRADE =
  'adhesion adhesions amblyopic anaesthetist anaesthetists anaesthetic aphakic argentinian aspheric aspirate aspirating aspiration asteroid astigmatic atrophic autorefraction autorefractor axes axis biometer biometrist bimanual ' +
  'block blocks bowman bruch bubble burst bursting calculation calculator canaliculi cannulas capsulorrhexis capsulorexis catheter cavitation chopper chopping choroid choroidal chorioretinal ciliary clamp cleavage cloquet coaxial ' +
  'colvard cracking cracker cross-action cryotherapy cystotome cystoid cytology decentration decentre decentred deepening dehiscence descemet descemets dialysis dislocate dislocated dislocation dispersives ' +
  'divide dropped dystrophic ectatic ectopia elschnig emulsify endocapsular endophthalmitis endoscope endothelial entry epinuclear epinucleus epithelium exfoliative explant explantation expulsive extrusion fibrosed ' +
  'fibrosis fibrotic fishtail fluctuation fluorescein foldable foldables foveal fundal fundoscopy gas glaucoma goldmann gonioscopy guttate haemorrhage hemorrhage haemorrhagic haptic haptics hyaloid hydroprocedure hydroprocedures ' +
  'hyperopia hypotony hypromellose incisions infiltrate injector injectors intralenticular intraocular intraoperative iridectomy iridotomy ischaemic kelman keratometer keratopathy keratoplasty krukenberg lensectomy lenticular ' +
  'leathery lid lids limbal limbus magnification marchesani marker meridian methylcellulose microcornea microphthalmos misdirection miosis miotic mydriasis mydriatic mydriatics myopic nagahara neovascular nonfoldable ' +
  'nucleofractis oil optometrist optometry orthoptist osmotic overfilling oxygen pachymeter paracentesis paracenteses pediatric pediatrics paediatric peeling perforation phacoaspiration phacochop phacodonetic phacolytic phacomorphic phototherapeutic placido ' +
  'plication polar polishing postop postoperative prechop prechopper prechopping pressurised pressurized prolapse prolapsed pulse pupillary purkinje recurrence refractive retropulsion retractor retractors retention rhegmatogenous ' +
  'saline scheimpflug schlemm scleral sclerotomy sculpting sideport side-port silicone sinskey slitlamp soemmering soft-shell specular speculum spherical stain staining subluxation subluxated suprachoroidal surge ' +
  'sutured sutureless swirling synechiolysis syringe tenon tenons tent tomographer tomography topography trabecular trabeculectomy trampolining triamcinolone trocars ultrasound ultrasonic unfolding uveal vacuum valve ' +
  'vannas viscodilation viscodissection viscoelastics vitreolysis vitreoretinal vitrector vogt weill weiss wieger wobble wobbly wobbling yag zinn zonulopathy zonulolysis oct ovd ovds ctr ctrs cts iop rrd pvr vr phacos lri lris piol aciol'

/** Words of places that name no person: the unit of the demonstration, and what a unit is called after. */
const PLACES = 'lantern quay harbour infirmary annexe campus wing floor reception hub site trust board'

export const EVERYDAY_WORDS: readonly string[] = [VERBS, IRREGULAR, NOUNS, OTHERS, TRADE, PLACES].flatMap((words) =>
  words.split(/[ -]/),
)
