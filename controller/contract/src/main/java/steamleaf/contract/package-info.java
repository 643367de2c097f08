/** What both programs speak: records, topics, codec and the sentences for each reason and state. */
@org.jspecify.annotations.NullMarked
package steamleaf.contract;
